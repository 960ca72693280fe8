package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// importFlags are the flags of import.
type importFlags struct {
	base    string
	table   choice[kinorderv1.Table]
	columns map[string]string
	format  choice[kinorderv1.ExportFormat]
	output  string
	replace bool
	server  serverFlags
}

func newImportFlags() *importFlags {
	return &importFlags{
		table:  byName[kinorderv1.Table]("whole", "people", "groupings", "circles", "matrix"),
		format: byName[kinorderv1.ExportFormat]("yaml", "json", "csv", "xlsx"),
	}
}

func (p *Program) importCommand() *cobra.Command {
	o := newImportFlags()
	c := &cobra.Command{
		Use:   "import FILE",
		Short: "Read a list or spreadsheet, and turn it into an event file",
		Long: `Import reads a list as people type it, a spreadsheet (CSV or .xlsx) or an event file. Of a list it prints each
line with the people it understood to be in the photo, what it did not use, what else it understood, and what it has to
ask. -o writes it as an event file or as a spreadsheet with the whole event; in a YAML file, anything unclear is a
comment. --format json has the whole answer: the event, the lines with their photos, and the questions with
their choices. It can be planned like any event file.

--base names an event whose people the list may refer to. --column says which column of a
table holds a field, when its headers do not: name=Guest, or name=B.

It ends with code 2 when something must be fixed before a plan can be made; the file is
written all the same. An existing file is left alone unless --replace is given, and the file that
is read is never overwritten.`,
		Example: `  kinorder import list.txt
  kinorder import list.txt -o wedding.yaml
  kinorder import groups.txt --base guests.yaml
  kinorder import guests.xlsx --table people --column name=Guest
  kinorder import wedding.yaml -o wedding.xlsx
  kinorder import wedding.yaml --format csv --table matrix`,
		Args:              oneFile,
		ValidArgsFunction: eventFiles,
		RunE: func(c *cobra.Command, args []string) error {
			if o.format.word == "" {
				if err := fitting(o.output, ".yaml", ".yml", ".json", ".csv", ".xlsx"); err != nil {
					return err
				}
			}
			return p.importFile(c.Context(), args[0], o)
		},
	}
	f := c.Flags()
	f.StringVar(&o.base, "base", "", "an event `FILE` whose people the list may refer to")
	f.Var(&o.table, "table", "what is in a table, or which table to write as CSV: whole (all of the event, the default), people, groupings (photos), circles (groups) or matrix")
	f.StringToStringVar(&o.columns, "column", nil, "the column of a table that holds a field, as `FIELD=HEADER`; may be repeated")
	f.Var(&o.format, "format", "what to write: yaml, json, csv or xlsx (default: by the ending of the -o file)")
	f.StringVarP(&o.output, "output", "o", "", "write to `FILE` instead of the standard output")
	f.BoolVar(&o.replace, "replace", false, "overwrite the -o file if it exists")
	o.server.add(c, worksThere)
	o.table.complete(c, "table")
	o.format.complete(c, "format")
	return c
}

func (p *Program) importFile(ctx context.Context, file string, o *importFlags) error {
	if err := p.apart(o.output, o.server, file, o.base); err != nil {
		return err
	}
	if err := untouched(o.output, o.replace); err != nil {
		return err
	}
	how := client.ImportOptions{Table: o.table.value(), Columns: o.columns}
	if o.base != "" {
		// It need not be one that can be planned yet: a list of guests has no groupings.
		base, err := p.load(ctx, o.base, o.server, client.ImportOptions{})
		if err != nil {
			return err
		}
		how.Base = base.event
	}
	l, err := p.load(ctx, file, o.server, how)
	if err != nil {
		return err
	}
	if err := p.tell(l, o); err != nil {
		return err
	}
	content, err := p.importedAs(ctx, l, o)
	if err != nil {
		return err
	}
	if content != nil {
		if err := p.deliver(content, o.output, ""); err != nil {
			return err
		}
	}
	return l.problems.toFix()
}

// tell says what was understood: of a list on the standard output unless a file goes there, else the problems beside it.
func (p *Program) tell(l loaded, o *importFlags) error {
	if len(l.got.GetLines()) == 0 || o.output == "" && o.format.word != "" {
		fmt.Fprint(p.Stderr, l.verdict())
		return nil
	}
	return p.print(p.readingOf(l.got) + "\n" + l.sum() + "\n")
}

// importedAs is the file that is asked for; nil when a list is only to be told.
func (p *Program) importedAs(ctx context.Context, l loaded, o *importFlags) ([]byte, error) {
	if o.output == "" && o.format.word == "" && len(l.got.GetLines()) > 0 {
		return nil, nil
	}
	if o.writtenAs() == kinorderv1.ExportFormat_EXPORT_FORMAT_JSON {
		return indented(l.got)
	}
	content, err := l.conn.Export(ctx, l.event, client.ExportOptions{Format: o.writtenAs(), Table: o.tableWritten(), Problems: l.problems.problems})
	if err != nil {
		return nil, p.refused(err)
	}
	return content, nil
}

// tableWritten is the table that a CSV file is to hold: all of the event, unless another is asked for.
func (o *importFlags) tableWritten() kinorderv1.Table {
	if o.table.word == "" {
		return kinorderv1.Table_TABLE_WHOLE
	}
	return o.table.value()
}

// writtenAs is the form asked for, or that of the ending of the output file.
func (o *importFlags) writtenAs() kinorderv1.ExportFormat {
	as := o.format
	if as.word == "" && as.Set(strings.TrimPrefix(filepath.Ext(o.output), ".")) != nil {
		return kinorderv1.ExportFormat_EXPORT_FORMAT_YAML
	}
	return as.value()
}

// untouched refuses an event file that is there already, unless it may be replaced.
func untouched(output string, replaced bool) error {
	if there, err := os.Stat(output); err == nil && ordinary(output, there) && !replaced {
		return invalid(fmt.Errorf("-o %s is there already, and may have been edited by hand: name another file, or add --replace", output))
	}
	return nil
}
