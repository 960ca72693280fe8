// Command orderbench solves instance files and prints one JSON object a line.
package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"time"

	"kinorder.example/solver"
	"kinorder.example/solver/internal/instance"
)

// line is what is printed for a file. Cost, Bound and Published are in the file's own objective.
type line struct {
	Name       string  `json:"name"`
	Kind       string  `json:"kind"`
	N          int     `json:"n"`
	People     int     `json:"people"`
	Cost       int64   `json:"cost"`
	Bound      int64   `json:"bound"`
	Proven     bool    `json:"proven"`
	Seconds    float64 `json:"seconds"`
	States     int64   `json:"states"`
	PeakMB     float64 `json:"peakMB"`
	Published  int64   `json:"published"`
	PublishedP bool    `json:"publishedProven"`
}

func main() {
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

func run(args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("orderbench", flag.ContinueOnError)
	flags.SetOutput(stderr)
	flags.Usage = func() {
		fmt.Fprintln(stderr, "usage: orderbench [flags] FILE...\n\nSolves instance files and prints one JSON object a line, or a table.")
		flags.PrintDefaults()
	}
	budget := flags.Duration("budget", time.Minute, "longest time for one file")
	workers := flags.Int("workers", 1, "goroutines of one solve")
	memory := flags.Int64("memory", 1<<30, "bytes that the tables of one solve may take")
	table := flags.Bool("table", false, "print a table instead of JSON")
	if err := flags.Parse(args); err != nil || flags.NArg() == 0 {
		if err == nil {
			flags.Usage()
		}
		return 2
	}
	if *table {
		fmt.Fprintf(stdout, "%-20s %-9s %4s %6s %9s %9s %9s %7s %7s %9s %9s %7s\n", "name", "kind", "n", "people", "published", "cost", "bound", "gap", "proven", "seconds", "states", "peakMB")
	}
	code := 0
	for _, path := range flags.Args() {
		l, err := bench(path, *budget, solver.Options{Workers: *workers, MemoryLimit: *memory})
		if err != nil {
			fmt.Fprintln(stderr, "orderbench:", err)
			code = 1
			continue
		}
		if *table {
			printRow(stdout, l)
			continue
		}
		if err := json.NewEncoder(stdout).Encode(l); err != nil {
			fmt.Fprintln(stderr, "orderbench:", err)
			return 1
		}
	}
	return code
}

func bench(path string, budget time.Duration, o solver.Options) (line, error) {
	i, err := instance.Read(path)
	if err != nil {
		return line{}, err
	}
	p, err := solver.NewProblem(i.Spec)
	if err != nil {
		return line{}, fmt.Errorf("%s: %w", path, err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), budget)
	defer cancel()
	start := time.Now()
	r, err := solver.Solve(ctx, p, o)
	if err != nil {
		return line{}, fmt.Errorf("%s: %w", path, err)
	}
	l := line{
		Name: i.Name, Kind: i.Kind, N: p.Groupings(), People: p.People(),
		Bound: i.Bound(p, r.Bound), Proven: r.Proven, Seconds: time.Since(start).Seconds(),
		States: r.Stats.States, PeakMB: float64(r.Stats.PeakBytes) / (1 << 20),
		Published: i.Published, PublishedP: i.Proven,
	}
	if r.Status == solver.Found {
		if err := solver.Verify(p, r.Order, r.Cost); err != nil {
			return line{}, fmt.Errorf("%s: %w", path, err)
		}
		l.Cost = i.Value(r.Cost)
	}
	return l, nil
}

func printRow(w io.Writer, l line) {
	gap := 0.0
	if l.Cost > 0 {
		gap = 100 * float64(l.Cost-l.Bound) / float64(l.Cost)
	}
	published := fmt.Sprint(l.Published)
	if !l.PublishedP {
		published += "?"
	}
	fmt.Fprintf(w, "%-20s %-9s %4d %6d %9s %9d %9d %6.2f%% %7v %9.3f %9d %7.1f\n", l.Name, l.Kind, l.N, l.People, published, l.Cost, l.Bound, gap, l.Proven, l.Seconds, l.States, l.PeakMB)
}
