#!/bin/sh
# From a list to a call sheet with grpcurl and jq, over gRPC: plan-grpcurl.sh [ADDRESS] < list.txt
set -eu
server=${1:-127.0.0.1:7465}
call() { grpcurl -plaintext -d @ "$server" "kinorder.v1.Planner/$1"; }
event=$(base64 -w0 | jq -R '{content: .}' | call Import | jq .event)
sheet=$(jq -n --argjson event "$event" '{event: $event, budget: "2s"}' | call Plan | jq .sheet)
jq -n --argjson event "$event" --argjson sheet "$sheet" '{event: $event, sheet: $sheet, format: "RENDER_FORMAT_TEXT"}' |
	call Render | jq -r .content | base64 -d
