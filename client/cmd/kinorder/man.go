package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// manCommand is for those who package the program. The pages are written here because the library of the commands needs a
// reader of Markdown for it that has had no release since 2020.
func (p *Program) manCommand() *cobra.Command {
	return &cobra.Command{
		Use:    "man FOLDER",
		Short:  "Write the manual pages into a folder",
		Hidden: true,
		Args:   cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return failed(err)
			}
			made := time.Now()
			if seconds, err := strconv.ParseInt(os.Getenv("SOURCE_DATE_EPOCH"), 10, 64); err == nil {
				made = time.Unix(seconds, 0)
			}
			if err := manPages(c.Root(), args[0], made.UTC().Format(time.DateOnly)); err != nil {
				return failed(err)
			}
			return nil
		},
	}
}

// manPages writes the page of a command and those of its commands, in the macros of man(7).
func manPages(c *cobra.Command, folder, date string) error {
	name := strings.ReplaceAll(c.CommandPath(), " ", "-")
	var b strings.Builder
	fmt.Fprintf(&b, ".TH %s 1 %s kinorder\n", strings.ToUpper(name), date)
	fmt.Fprintf(&b, ".SH NAME\n%s \\- %s\n.SH SYNOPSIS\n.B %s\n", roff(name), roff(c.Short), roff(c.UseLine()))
	if c.Long != "" {
		fmt.Fprintf(&b, ".SH DESCRIPTION\n%s\n", strings.ReplaceAll(roff(c.Long), "\n\n", "\n.PP\n"))
	}
	b.WriteString(".SH OPTIONS\n")
	c.InitDefaultHelpFlag()
	c.Flags().VisitAll(func(f *pflag.Flag) {
		kind, usage := pflag.UnquoteUsage(f)
		flag := "--" + f.Name
		if f.Shorthand != "" {
			flag = "-" + f.Shorthand + ", " + flag
		}
		fmt.Fprintf(&b, ".TP\n\\fB%s\\fR %s\n%s\n", roff(flag), roff(kind), roff(usage))
	})
	if c.HasExample() {
		fmt.Fprintf(&b, ".SH EXAMPLES\n.EX\n%s\n.EE\n", roff(c.Example))
	}
	var also []string
	for _, other := range append([]*cobra.Command{c.Parent()}, c.Commands()...) {
		if other != nil && (other == c.Parent() || other.IsAvailableCommand()) {
			also = append(also, roff(strings.ReplaceAll(other.CommandPath(), " ", "-"))+"(1)")
			if other != c.Parent() {
				if err := manPages(other, folder, date); err != nil {
					return err
				}
			}
		}
	}
	if len(also) > 0 {
		fmt.Fprintf(&b, ".SH SEE ALSO\n%s\n", strings.Join(also, ", "))
	}
	return os.WriteFile(filepath.Join(folder, name+".1"), []byte(b.String()), 0o644)
}

// roff keeps a text from being taken for requests of roff.
func roff(text string) string {
	text = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(text)
	return strings.NewReplacer("\n.", "\n\\&.", "\n'", "\n\\&'").Replace("\n" + text)[1:]
}
