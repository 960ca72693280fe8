package main

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"go.yaml.in/yaml/v4"
)

// settings gives the flags of a command that the command line leaves out what the environment says, or else a file: a
// flag --log-level is KINORDER_LOG_LEVEL and log-level. Flags check their values, wherever these come from.
func settings(c *cobra.Command) error {
	file := os.Getenv("KINORDER_CONFIG")
	if f := c.Flags().Lookup("config"); f.Changed {
		file = f.Value.String()
	}
	written, err := settingsFile(file)
	if err != nil {
		return err
	}
	for name := range written {
		if c.Flags().Lookup(name) == nil || name == "config" || name == "help" {
			return invalid(fmt.Errorf("%s: there is no setting %q: they have the names of the flags", file, name))
		}
	}
	var faults []error
	c.Flags().VisitAll(func(f *pflag.Flag) {
		if f.Changed || f.Name == "config" || f.Name == "help" {
			return
		}
		variable := "KINORDER_" + strings.ToUpper(strings.ReplaceAll(f.Name, "-", "_"))
		values, from := written[f.Name], file+": "+f.Name
		if value := os.Getenv(variable); value != "" {
			values, from = []string{value}, variable
			if f.Value.Type() == "stringArray" {
				values = strings.Fields(value)
			}
		}
		for _, value := range values {
			if err := c.Flags().Set(f.Name, value); err != nil {
				// A connection string holds a password, and the error would quote it.
				faults = append(faults, fmt.Errorf("%s: the value does not fit --%s %s", from, f.Name, f.Value.Type()))
			}
		}
	})
	if err := errors.Join(faults...); err != nil {
		return invalid(err)
	}
	return nil
}

// settingsFile reads a YAML file of settings by their names; "" is none.
func settingsFile(file string) (map[string][]string, error) {
	if file == "" {
		return nil, nil
	}
	content, err := os.ReadFile(file)
	if err != nil {
		return nil, failed(err)
	}
	var raw map[string]any
	if err := yaml.Unmarshal(content, &raw); err != nil {
		return nil, invalid(fmt.Errorf("%s: write a setting a line, as in log-level: warn", file))
	}
	out := map[string][]string{}
	for name, value := range raw {
		list, several := value.([]any)
		if !several {
			list = []any{value}
		}
		for _, v := range list {
			out[name] = append(out[name], fmt.Sprint(v))
		}
	}
	return out, nil
}
