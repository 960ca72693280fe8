package web

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
	maxRequest = 8 << 20
	maxFields  = 20_000
)

// How much memory a form takes for each of its bytes: as they came, as a text, with other line ends, and on the page
// that carries it on; and how much more for a sign that HTML writes with five, in buffers that double.
const (
	perByte   = 4
	perEscape = 32
	escaped   = `"'&<>+`
)

// posted is a form as it was sent.
type posted struct {
	values url.Values
	// file is an uploaded file, nil when there is none.
	file  []byte
	bytes int
}

// get returns the only value of a field, with line ends as they are in files.
func (p posted) get(name string) string {
	return strings.ReplaceAll(p.values.Get(name), "\r\n", "\n")
}

// line returns a value that has one line.
func (p posted) line(name string) string { return strings.TrimSpace(p.get(name)) }

// has reports whether a field was sent, empty or not.
func (p posted) has(name string) bool { return p.values.Has(name) }

// readPosted reads a form of these pages into the memory that it may hold. It writes no files, as the library's own
// reader would. Its errors are errTooLarge, errSlow, errCrowded and errForm.
func readPosted(r *http.Request, room *gate.Hold) (posted, error) {
	kind, params, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || kind != "multipart/form-data" || params["boundary"] == "" {
		return posted{}, errForm
	}
	body := &counted{r: http.MaxBytesReader(nil, r.Body, maxRequest), room: room}
	p := posted{values: url.Values{}}
	parts := multipart.NewReader(body, params["boundary"])
	for n := 0; ; n++ {
		part, err := parts.NextRawPart()
		if errors.Is(err, io.EOF) {
			p.bytes = body.n
			return p, nil
		}
		if err != nil {
			return posted{}, formError(err)
		}
		content, err := io.ReadAll(part)
		if err != nil {
			return posted{}, formError(err)
		}
		switch {
		case n >= maxFields:
			return posted{}, errForm
		case part.FormName() == "file":
			if len(content) > 0 {
				p.file = content
			}
		case !utf8.Valid(content):
			return posted{}, errForm // browsers send what is typed in the encoding of the page
		default:
			p.values.Add(part.FormName(), string(content))
		}
	}
}

func formError(err error) error {
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return errTooLarge
	case errors.Is(err, os.ErrDeadlineExceeded):
		return errSlow
	case errors.Is(err, errCrowded):
		return errCrowded
	}
	return errForm
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
		return n, errCrowded
	}
	return n, err
}
