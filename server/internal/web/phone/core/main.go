//go:build js && wasm

// The core is what plans on a phone without signal: wire.Core for the worker of the page of the day (planner.js), which
// calls the two functions that it hangs into the worker.
package main

import (
	"syscall/js"

	"kinorder.example/server/internal/web/phone/wire"
)

func main() {
	var core wire.Core
	said := func(text []byte, err error) any {
		if err != nil {
			return js.Global().Get("Error").New(err.Error())
		}
		return string(text)
	}
	js.Global().Set("coreKnow", js.FuncOf(func(_ js.Value, about []js.Value) any {
		return said(nil, core.Know([]byte(about[0].String())))
	}))
	js.Global().Set("corePlan", js.FuncOf(func(_ js.Value, asked []js.Value) any {
		return said(core.Plan([]byte(asked[0].String())))
	}))
	js.Global().Call("coreReady")
	select {}
}
