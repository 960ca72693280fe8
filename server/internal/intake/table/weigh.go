package table

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"path"
	"strconv"
	"strings"
)

// What a workbook may be made of, so that no part of it makes the library that reads it take much memory:
// it keeps an object for each element of these parts. Sheets are read row by row; a table of MaxCells texts has
// six marks a cell.
const (
	maxTags       = 2_000_000 // of all parts together
	maxTextTags   = 400_000   // of the shared texts: two for each of MaxCells
	maxOtherTags  = 200_000   // of any part that is not a sheet, such as styles
	maxDepth      = 100       // elements inside of each other
	maxAttributes = 1_000     // of one element
)

// weigh adds up what the workbook unpacks to and what it is made of, before anything else reads it: a small
// file can hold a large one. It unpacks to nowhere, so that sizes which the file only claims do not count.
func weigh(content []byte) error {
	z, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		return ErrBroken
	}
	if len(z.File) > maxParts {
		return ErrTooBig
	}
	left, tags := int64(MaxUnpacked), 0
	for _, f := range z.File {
		if f.UncompressedSize64 > uint64(left) {
			return ErrTooBig
		}
		r, err := f.Open()
		if err != nil {
			return ErrBroken
		}
		scan := &scale{most: maxOtherTags}
		switch name := strings.ToLower(f.Name); {
		case strings.Contains(name, "worksheets/"):
			scan.most = maxTags
		case strings.HasSuffix(name, "sharedstrings.xml"):
			scan.most = maxTextTags
		}
		n, err := io.Copy(scan, io.LimitReader(r, left+1))
		r.Close()
		if tags += scan.tags; n > left || tags > maxTags || errors.Is(err, ErrTooBig) {
			return ErrTooBig
		}
		if err != nil {
			return ErrBroken
		}
		left -= n
	}
	return nil
}

// scale counts the elements of XML without reading it. It takes no XML for right; what it miscounts of
// broken XML does no harm.
type scale struct {
	most, tags, depth, attributes int
	before                        byte
	inside                        bool // of the brackets of a tag
	quote                         byte // of the value of an attribute; 0 outside
}

// Write counts. Its error is ErrTooBig.
func (s *scale) Write(p []byte) (int, error) {
	for _, c := range p {
		s.count(c)
		if s.tags > s.most || s.depth > maxDepth || s.attributes > maxAttributes {
			return 0, ErrTooBig
		}
	}
	return len(p), nil
}

func (s *scale) count(c byte) {
	switch {
	case s.quote != 0:
		if c == s.quote {
			s.quote = 0
		}
	case s.inside && s.before == '<' && c == '/':
		s.depth -= 2 // the one that ends, and this one, which is none
	case s.inside && s.before == '<' && (c == '?' || c == '!'):
		s.depth--
	case s.inside && c == '>':
		s.inside = false
		if s.before == '/' {
			s.depth--
		}
	case s.inside && (c == '"' || c == '\''):
		s.quote = c
		s.attributes++
	case c == '<':
		s.inside, s.attributes = true, 0
		s.tags++
		s.depth++
	}
	s.before = c
}

// survey reads what the library would take too much memory for: the ranges of merged cells by the name of the sheet, such
// as B2:D4, for which it would load whole sheets, and how much text the cells come to, for it copies a text into each
// cell that shares it. A sheet is whatever has cells. The error is ErrTooLong or ErrBroken.
func survey(content []byte) (map[string][]string, error) {
	z, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		return nil, ErrBroken
	}
	parts := map[string]*zip.File{}
	for _, f := range z.File {
		parts[strings.ToLower(strings.ReplaceAll(f.Name, "\\", "/"))] = f
	}
	names, err := sheetNames(parts)
	if err != nil {
		return nil, err
	}
	lengths, err := textLengths(parts["xl/sharedstrings.xml"])
	if err != nil {
		return nil, err
	}
	out := map[string][]string{}
	merged, text := 0, 0
	shared, value := false, false // the cell shares a text, and which stands here
	for part, file := range parts {
		name, known := names[part]
		err := tokens(file, func(t xml.Token) {
			switch t := t.(type) {
			case xml.StartElement:
				value = t.Name.Local == "v"
				switch t.Name.Local {
				case "c":
					shared = attribute(t, "t") == "s"
				case "mergeCell":
					if merged++; known && merged <= maxMerged {
						out[name] = append(out[name], attribute(t, "ref"))
					}
				}
			case xml.CharData:
				if at, err := strconv.Atoi(strings.TrimSpace(string(t))); shared && value && err == nil && at >= 0 && at < len(lengths) {
					text += lengths[at]
				}
			}
		})
		if text > MaxText {
			return nil, ErrTooLong
		}
		if err != nil && known {
			return nil, err
		}
	}
	return out, nil
}

// textLengths are those of the texts that cells share, in bytes.
func textLengths(f *zip.File) (lengths []int, err error) {
	err = tokens(f, func(t xml.Token) {
		switch t := t.(type) {
		case xml.StartElement:
			if t.Name.Local == "si" {
				lengths = append(lengths, 0)
			}
		case xml.CharData:
			if n := len(lengths); n > 0 {
				lengths[n-1] += len(t)
			}
		}
	})
	return lengths, err
}

// sheetNames are the names of sheets by their parts.
func sheetNames(parts map[string]*zip.File) (map[string]string, error) {
	const workbook = "xl/workbook.xml"
	sheets := map[string]string{} // by the id of the relation
	err := tokens(parts[workbook], func(t xml.Token) {
		if e, ok := t.(xml.StartElement); ok && e.Name.Local == "sheet" {
			sheets[attribute(e, "id")] = attribute(e, "name")
		}
	})
	if err != nil {
		return nil, err
	}
	names := map[string]string{}
	err = tokens(parts["xl/_rels/workbook.xml.rels"], func(t xml.Token) {
		e, ok := t.(xml.StartElement)
		if !ok || e.Name.Local != "Relationship" {
			return
		}
		if name, known := sheets[attribute(e, "Id")]; known {
			target := attribute(e, "Target")
			if !strings.HasPrefix(target, "/") {
				target = path.Join(path.Dir(workbook), target)
			}
			names[strings.ToLower(strings.TrimPrefix(target, "/"))] = name
		}
	})
	return names, err
}

// tokens reads a part. The error is ErrBroken.
func tokens(f *zip.File, do func(xml.Token)) error {
	if f == nil {
		return nil
	}
	r, err := f.Open()
	if err != nil {
		return ErrBroken
	}
	defer r.Close()
	d := xml.NewDecoder(io.LimitReader(r, MaxUnpacked))
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil } // ranges are ASCII
	for {
		token, err := d.RawToken()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return ErrBroken
		}
		do(token)
	}
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}
