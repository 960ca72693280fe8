package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// choice is a flag that takes one of a few words.
type choice[V any] struct {
	words  []string
	values []V // for each word
	word   string
}

// byName makes a choice of values of the contract, by their names there.
func byName[V interface {
	~int32
	protoreflect.Enum
}](words ...string) choice[V] {
	c := choice[V]{words: words}
	names := V(0).Descriptor().Values()
	prefix := strings.TrimSuffix(string(names.ByNumber(0).Name()), "UNSPECIFIED")
	for _, word := range words {
		name := prefix + strings.ToUpper(strings.ReplaceAll(word, "-", "_"))
		c.values = append(c.values, V(names.ByName(protoreflect.Name(name)).Number()))
	}
	return c
}

// and takes one word more.
func (c choice[V]) and(word string, value V) choice[V] {
	c.words, c.values = append(c.words, word), append(c.values, value)
	return c
}

// value returns what the word stands for, and the zero value when none was given.
func (c *choice[V]) value() V {
	if i := slices.Index(c.words, c.word); i >= 0 {
		return c.values[i]
	}
	var zero V
	return zero
}

// String, Set and Type make it a flag.
func (c *choice[V]) String() string { return c.word }

// Set takes a word in any case, with hyphens or, as in event files, with underscores.
func (c *choice[V]) Set(word string) error {
	word = strings.ReplaceAll(strings.ToLower(word), "_", "-")
	if !slices.Contains(c.words, word) {
		return fmt.Errorf("must be one of %s", strings.Join(c.words, ", "))
	}
	c.word = word
	return nil
}

// Type is shown in the help.
func (c *choice[V]) Type() string { return strings.Join(c.words, "|") }

// complete has the shell offer the words.
func (c *choice[V]) complete(command *cobra.Command, flag string) {
	err := command.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(c.words, cobra.ShellCompDirectiveNoFileComp))
	if err != nil {
		panic(err) // the flag is not there, or twice: a mistake in this program
	}
}
