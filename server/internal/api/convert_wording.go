package api

import (
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/wording"
)

// Limits of a wording that comes with a sheet to be drawn. What the server makes is far below.
const (
	maxWordingDepth = 8
	maxWordingParts = 2000
)

var joins = map[wording.ArgKind]kinorderv1.WordingJoin{
	wording.CommaArg: kinorderv1.WordingJoin_WORDING_JOIN_COMMA, wording.AndArg: kinorderv1.WordingJoin_WORDING_JOIN_AND,
	wording.OrArg: kinorderv1.WordingJoin_WORDING_JOIN_OR, wording.SemicolonArg: kinorderv1.WordingJoin_WORDING_JOIN_SEMICOLON,
}

func wordingToWire(m wording.Message) *kinorderv1.Wording {
	if m.Empty() {
		return nil
	}
	return &kinorderv1.Wording{Key: text(string(m.Key)), Arguments: each(m.Args, argumentToWire)}
}

func argumentToWire(a wording.Arg) *kinorderv1.WordingArgument {
	w := &kinorderv1.WordingArgument{}
	switch a.Kind {
	case wording.QuotedArg:
		w.Value = &kinorderv1.WordingArgument_Quoted{Quoted: text(a.Text)}
	case wording.CurlyArg:
		w.Value = &kinorderv1.WordingArgument_Titled{Titled: text(a.Text)}
	case wording.NumberArg:
		w.Value = &kinorderv1.WordingArgument_Number{Number: narrow(a.Number)}
	case wording.ClockArg:
		w.Value = &kinorderv1.WordingArgument_Clock{Clock: text(a.Text)}
	case wording.MessageArg:
		w.Value = &kinorderv1.WordingArgument_Wording{Wording: &kinorderv1.Wording{
			Key: text(string(a.Key)), Arguments: each(a.List, argumentToWire),
		}}
	case wording.CommaArg, wording.AndArg, wording.OrArg, wording.SemicolonArg:
		w.Value = &kinorderv1.WordingArgument_List{List: &kinorderv1.WordingList{
			Join: joins[a.Kind], Items: each(a.List, argumentToWire),
		}}
	default:
		w.Value = &kinorderv1.WordingArgument_Text{Text: text(a.Text)}
	}
	return w
}

// wordingFromWire reads a wording. It falls back to the text beside it for a wording that is not known here, or far
// larger than any text of the server.
func wordingFromWire(w *kinorderv1.Wording, text string) wording.Message {
	parts := 0
	args, ok := argumentsFromWire(w.GetArguments(), maxWordingDepth, &parts)
	m := wording.Message{Key: wording.Key(w.GetKey()), Args: args}
	if english, _ := wording.For(""); ok && english.Known(m) {
		return m
	}
	if text == "" {
		return wording.Message{}
	}
	return wording.Said(text)
}

func argumentsFromWire(list []*kinorderv1.WordingArgument, depth int, parts *int) ([]wording.Arg, bool) {
	if *parts += len(list); *parts > maxWordingParts || depth == 0 && len(list) > 0 {
		return nil, false
	}
	var out []wording.Arg
	for _, w := range list {
		a := wording.Arg{}
		ok := true
		switch v := w.GetValue().(type) {
		case *kinorderv1.WordingArgument_Text:
			a.Text = v.Text
		case *kinorderv1.WordingArgument_Quoted:
			a = wording.Quoted(v.Quoted)
		case *kinorderv1.WordingArgument_Titled:
			a = wording.Curly(v.Titled)
		case *kinorderv1.WordingArgument_Number:
			a = wording.Arg{Kind: wording.NumberArg, Number: int(v.Number)}
		case *kinorderv1.WordingArgument_Clock:
			a = wording.Arg{Kind: wording.ClockArg, Text: v.Clock}
		case *kinorderv1.WordingArgument_Wording:
			a = wording.Arg{Kind: wording.MessageArg, Key: wording.Key(v.Wording.GetKey())}
			a.List, ok = argumentsFromWire(v.Wording.GetArguments(), depth-1, parts)
		case *kinorderv1.WordingArgument_List:
			a.Kind = wording.CommaArg
			for kind, join := range joins {
				if join == v.List.GetJoin() {
					a.Kind = kind
				}
			}
			a.List, ok = argumentsFromWire(v.List.GetItems(), depth-1, parts)
		}
		if !ok {
			return nil, false
		}
		out = append(out, a)
	}
	return out, true
}
