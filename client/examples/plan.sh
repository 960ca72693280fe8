#!/bin/sh
# From a list to a call sheet with curl and jq: plan.sh [ADDRESS] < list.txt
set -eu
server=${1:-http://127.0.0.1:7466}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
curl -sS --fail-with-body --data-binary @- "$server/v1/events:import" >"$work/imported"
jq -r '.questions[]?.text' "$work/imported" >&2
jq .event "$work/imported" >"$work/event"
curl -sS --fail-with-body --json @"$work/event" "$server/v1/events:plan?budget=2s" >"$work/planned"
jq -n --slurpfile event "$work/event" --slurpfile planned "$work/planned" \
	'{event: $event[0], sheet: $planned[0].sheet, format: "RENDER_FORMAT_TEXT"}' |
	curl -sS --fail-with-body --json @- "$server/v1/callSheets:render" | jq -r .content | base64 -d
