package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"google.golang.org/grpc/codes"

	"kinorder.example/client"
	"kinorder.example/server"
)

// The exit codes. client/README.md lists them.
const (
	exitDone    = 0
	exitFailed  = 1
	exitInvalid = 2
	exitLeftOut = 3
)

// Program is one run of the command. Tests start it with streams of their own.
type Program struct {
	Stdin          io.Reader
	Stdout, Stderr io.Writer
	// Interrupts brings the user's wish to stop: the first ends what is being done early, with what
	// there is by then; the second ends it at once. Nil means that there is none.
	Interrupts <-chan os.Signal
	// Live says that Stderr is a terminal, on which a line can be written over.
	Live bool
	// Open shows an address in the user's browser. Nil means that there is none.
	Open func(address string) error
	// Width is the columns of the terminal on Stdout. 0 means that it is not a terminal.
	Width int

	// hard ends with the second interrupt; the context of a command ends with the first.
	hard context.Context
	// address is that of the server called, empty for the one inside; conn is the connection, once there is one.
	address string
	conn    *client.Client
	closers []func() error
}

// exit ends a command with a code. Its error, unless nil, is for the user.
type exit struct {
	code int
	err  error
}

func (e *exit) Error() string {
	if e.err == nil {
		return fmt.Sprintf("exit code %d", e.code)
	}
	return e.err.Error()
}

func (e *exit) Unwrap() error { return e.err }

func failed(err error) error  { return &exit{exitFailed, err} }
func invalid(err error) error { return &exit{exitInvalid, err} }

// refused gives the error of a call its exit code: a request that the server finds faulty is the
// user's to fix.
func (p *Program) refused(err error) error {
	var e *client.Error
	if !errors.As(err, &e) {
		return failed(err)
	}
	switch {
	case e.Code == codes.DeadlineExceeded && e.Reason == "" && p.address != "":
		return failed(fmt.Errorf("the kinorder server at %s did not answer in time: try again", p.address))
	case gone(e):
		return failed(fmt.Errorf("no kinorder server answers at %s: %s (%s)", p.address, unanswered(e.Message), e.Message))
	case e.Code == codes.InvalidArgument, e.Code == codes.FailedPrecondition:
		return invalid(e)
	default:
		return failed(e)
	}
}

// unanswered says what to do when nobody answered, by the words of grpc and crypto/x509.
func unanswered(message string) string {
	switch {
	case strings.Contains(message, "first record does not look like a TLS handshake"):
		return "it does not speak TLS: leave https:// out"
	case strings.Contains(message, "server preface") && strings.Contains(message, "timeout"):
		return "something is there that says nothing, and may be another program"
	case strings.Contains(message, "server preface"):
		return "if it speaks TLS, write https:// before the address"
	case strings.Contains(message, "unknown authority"):
		return "name its certificate with --ca-file; serve --tls-own keeps it in the data folder as " + server.AuthorityFile
	default:
		return "run kinorder serve there, or leave --server out"
	}
}

// gone says that nobody answered: an answer of the server's own would have a reason.
func gone(e *client.Error) bool { return e.Code == codes.Unavailable && e.Reason == "" }

// Run runs one command and returns its exit code. Close must follow.
func (p *Program) Run(ctx context.Context, args []string) int {
	hard, cancelHard := context.WithCancel(ctx)
	defer cancelHard()
	soft, cancelSoft := context.WithCancel(hard)
	defer cancelSoft()
	p.hard = hard
	go func() {
		for _, cancel := range []context.CancelFunc{cancelSoft, cancelHard} {
			select {
			case <-p.Interrupts:
				cancel()
			case <-hard.Done():
				return
			}
		}
	}()
	root := p.root()
	root.SetArgs(args)
	command, err := root.ExecuteContextC(soft)
	if err == nil {
		return exitDone
	}
	var e *exit
	if !errors.As(err, &e) {
		// Everything else comes from reading the command line.
		fmt.Fprintf(p.Stderr, "kinorder: %s\nRun '%s --help' for how it is used.\n", err, command.CommandPath())
		return exitInvalid
	}
	if e.err != nil {
		fmt.Fprintf(p.Stderr, "kinorder: %s\n", printable(e.err.Error()))
	}
	return e.code
}

// Close ends what Run started.
func (p *Program) Close() error {
	var all error
	for i := len(p.closers) - 1; i >= 0; i-- {
		all = errors.Join(all, p.closers[i]())
	}
	p.closers = nil
	return all
}

func (p *Program) root() *cobra.Command {
	var o alone
	root := &cobra.Command{
		Use:   "kinorder",
		Short: "Put the group photos of a wedding or family event in the best order",
		Long: `kinorder takes your list of people and group photos and finds an order with as little coming
and going as possible, in which older guests and children are free early. It prints a call
sheet with realistic times.

Without a command it opens the planner's page in the browser and keeps your events in a folder of
yours (--data, or the variable KINORDER_DATA, says which). Nothing leaves this machine.`,
		Example: `  kinorder
  kinorder --ephemeral
  kinorder check wedding.yaml
  kinorder plan wedding.yaml
  kinorder plan wedding.yaml --format html -o sheet.html`,
		Version:       versionText(),
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE:          func(c *cobra.Command, _ []string) error { return p.openPage(c.Context(), o) },
	}
	root.Flags().StringVar(&o.data, "data", "", "keep events in this `FOLDER` (default: where the system keeps data of yours)")
	root.Flags().BoolVar(&o.ephemeral, "ephemeral", false, "keep nothing")
	p.speak(root)
	for _, g := range []struct {
		group    cobra.Group
		commands []*cobra.Command
	}{
		{cobra.Group{ID: "plan", Title: "Plan:"}, []*cobra.Command{p.checkCommand(), p.importCommand(), p.planCommand(), p.arrangeCommand(), p.measureCommand()}},
		{cobra.Group{ID: "keep", Title: "Serve, keep and share:"}, []*cobra.Command{
			p.serveCommand(), p.studioCommand(), p.backupCommand(), p.restoreCommand(), p.pushCommand(), p.pullCommand(), p.eventsCommand(), p.shareCommand(), p.markCommand(), p.webhookCommand()}},
		{cobra.Group{ID: "about", Title: "About kinorder:"}, []*cobra.Command{p.licencesCommand(), p.versionCommand(), p.manCommand()}},
	} {
		root.AddGroup(&g.group)
		for _, c := range g.commands {
			c.GroupID = g.group.ID
			root.AddCommand(c)
		}
	}
	root.SetHelpCommandGroupID("about")
	root.SetCompletionCommandGroupID("about")
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	for _, c := range root.Commands() {
		switch c.Name() { // which by themselves end with code 0 whatever they are asked for
		case "help":
			help := c.Run
			c.Run, c.RunE = nil, func(c *cobra.Command, args []string) error {
				if _, rest, err := root.Find(args); err != nil || len(rest) > 0 {
					return fmt.Errorf("there is no command %q", strings.Join(args, " "))
				}
				help(c, args)
				return nil
			}
		case "completion":
			c.RunE = func(*cobra.Command, []string) error { return errors.New("name a shell: bash, zsh, fish or powershell") }
		}
	}
	return root
}

// speak has a command speak on the streams of the program.
func (p *Program) speak(root *cobra.Command) {
	root.SetIn(p.Stdin)
	root.SetOut(p.Stdout)
	root.SetErr(p.Stderr)
	root.SetVersionTemplate("{{.Version}}")
	root.SetFlagErrorFunc(suggestFlag)
}

// slips are the words that another may be a slip of. Cobra knows slips of commands only, so the words are made commands.
func slips(of string, words []string) []string {
	all := &cobra.Command{SuggestionsMinimumDistance: 2}
	for _, w := range words {
		all.AddCommand(&cobra.Command{Use: w, Run: func(*cobra.Command, []string) {}})
	}
	return all.SuggestionsFor(of)
}

// suggestFlag adds to an error about an unknown flag the flags that it may be a slip of.
func suggestFlag(c *cobra.Command, err error) error {
	name, found := strings.CutPrefix(err.Error(), "unknown flag: --")
	if !found {
		return err
	}
	var flags []string
	c.Flags().VisitAll(func(f *pflag.Flag) { flags = append(flags, f.Name) })
	if near := slips(name, flags); len(near) > 0 {
		return fmt.Errorf("%w; did you mean --%s?", err, strings.Join(near, " or --"))
	}
	return err
}

func (p *Program) versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version",
		Args:  cobra.NoArgs,
		RunE:  func(*cobra.Command, []string) error { return p.print(versionText()) },
	}
}

// versionText tells which program this is and which schema it keeps events in, as Go has put it into the program.
func versionText() string {
	version, commit := "unknown", "unknown"
	if info, ok := debug.ReadBuildInfo(); ok {
		version = info.Main.Version
		settings := map[string]string{}
		for _, s := range info.Settings {
			settings[s.Key] = s.Value
		}
		if revision := settings["vcs.revision"]; revision != "" {
			day, _, _ := strings.Cut(settings["vcs.time"], "T")
			commit = revision[:min(len(revision), 12)] + " of " + day
			if settings["vcs.modified"] == "true" {
				commit += ", changed"
			}
		}
	}
	return fmt.Sprintf("kinorder %s, built with %s for %s/%s\ncommit %s\nschema %d\n", version, runtime.Version(), runtime.GOOS, runtime.GOARCH, commit, server.Schema())
}

// print writes to the standard output.
func (p *Program) print(s string) error {
	if _, err := io.WriteString(p.Stdout, s); err != nil {
		return failed(err)
	}
	return nil
}
