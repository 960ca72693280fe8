// Package fields has what planners write in the forms of the pages of package web: how a form is read, the day with its
// time slots, ways and rules as it stands in fields, and what was fixed beside the lines of a list. It draws nothing.
package fields

import (
	"errors"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"net/url"
	"os"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/gate"
)

// The limits of a form: a list, the sheet made of it, and the fields around them. The largest sheet, of 2000 people
// and 500 photographs with 100 people in each, has 2 MiB.
const (
	MaxBytes  = 8 << 20
	MaxFields = 20_000
)

// The errors of Read.
var (
	ErrTooLarge = errors.New("the form is too large")
	ErrSlow     = errors.New("the form came too slowly")
	ErrCrowded  = errors.New("too many requests at once")
	ErrForm     = errors.New("not a form of these pages")
)

// How much memory a form takes for each of its bytes: as they came, as a text, with other line ends, and on the page
// that carries it on; and how much more for a sign that HTML writes with five, in buffers that double.
const (
	perByte   = 4
	perEscape = 32
	escaped   = `"'&<>+`
)

// Posted is a form as it was sent.
type Posted struct {
	Values url.Values
	// File is an uploaded file, nil when there is none.
	File  []byte
	Bytes int
}

// Get returns the only value of a field, with line ends as they are in files.
func (p Posted) Get(name string) string {
	return strings.ReplaceAll(p.Values.Get(name), "\r\n", "\n")
}

// Line returns a value that has one line.
func (p Posted) Line(name string) string { return strings.TrimSpace(p.Get(name)) }

// Has reports whether a field was sent, empty or not.
func (p Posted) Has(name string) bool { return p.Values.Has(name) }

// Read reads a form of these pages into the memory that it may hold. It writes no files, as the library's own
// reader would. Its errors are ErrTooLarge, ErrSlow, ErrCrowded and ErrForm.
func Read(r *http.Request, room *gate.Hold) (Posted, error) {
	kind, params, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || kind != "multipart/form-data" || params["boundary"] == "" {
		return Posted{}, ErrForm
	}
	body := &counted{r: http.MaxBytesReader(nil, r.Body, MaxBytes), room: room}
	p := Posted{Values: url.Values{}}
	parts := multipart.NewReader(body, params["boundary"])
	for n := 0; ; n++ {
		part, err := parts.NextRawPart()
		if errors.Is(err, io.EOF) {
			p.Bytes = body.n
			return p, nil
		}
		if err != nil {
			return Posted{}, formError(err)
		}
		content, err := io.ReadAll(part)
		if err != nil {
			return Posted{}, formError(err)
		}
		switch {
		case n >= MaxFields:
			return Posted{}, ErrForm
		case part.FormName() == "file":
			if len(content) > 0 {
				p.File = content
			}
		case !utf8.Valid(content):
			return Posted{}, ErrForm // browsers send what is typed in the encoding of the page
		default:
			p.Values.Add(part.FormName(), string(content))
		}
	}
}

func formError(err error) error {
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return ErrTooLarge
	case errors.Is(err, os.ErrDeadlineExceeded):
		return ErrSlow
	case errors.Is(err, ErrCrowded):
		return ErrCrowded
	}
	return ErrForm
}

// counted counts the bytes that are read, and takes memory for them.
type counted struct {
	r    io.Reader
	room *gate.Hold
	n    int
}

func (c *counted) Read(b []byte) (int, error) {
	n, err := c.r.Read(b)
	c.n += n
	more := n * perByte
	for _, sign := range b[:n] {
		if strings.IndexByte(escaped, sign) >= 0 {
			more += perEscape
		}
	}
	if !c.room.Grow(int64(more)) {
		return n, ErrCrowded
	}
	return n, err
}

// Hidden is one value that a form carries along.
type Hidden struct{ Name, Value string }
