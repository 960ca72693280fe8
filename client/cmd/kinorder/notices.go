package main

import (
	_ "embed"

	"github.com/spf13/cobra"
)

// notices are the licences of what the program is built from. TestNotices writes them.
//
//go:embed notices.txt
var notices string

func (p *Program) licencesCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "licences",
		Short: "Print the licences of what the program is built from",
		Args:  cobra.NoArgs,
		RunE:  func(*cobra.Command, []string) error { return p.print(notices) },
	}
}
