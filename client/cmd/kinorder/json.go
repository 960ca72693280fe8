package main

import (
	"bytes"
	"encoding/json"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
)

// jsonHelp says what --json does.
const jsonHelp = "print JSON for programs, a line for each thing"

// said prints what a command did: for programs as a line of JSON, as the API has it, else in words.
func (p *Program) said(asJSON bool, m proto.Message, words string) error {
	if !asJSON {
		return p.print(words)
	}
	line, err := jsonLine(m)
	if err != nil {
		return err
	}
	return p.print(line + "\n")
}

// jsonLine writes a message on one line, indented as a file over several. protojson changes its spaces from build to
// build on purpose; what is printed must not.
func jsonLine(m proto.Message) (string, error) {
	var out bytes.Buffer
	raw, err := protojson.Marshal(m)
	if err == nil {
		err = json.Compact(&out, raw)
	}
	if err != nil {
		return "", failed(err)
	}
	return out.String(), nil
}

func indented(m proto.Message) ([]byte, error) {
	var out bytes.Buffer
	raw, err := protojson.Marshal(m)
	if err == nil {
		err = json.Indent(&out, raw, "", "  ")
	}
	if err != nil {
		return nil, failed(err)
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}
