"""From a list to a call sheet with Python's standard library: plan.py [ADDRESS] < list.txt"""

import base64
import json
import sys
import urllib.error
import urllib.request

server = sys.argv[1] if len(sys.argv) > 1 else "http://127.0.0.1:7466"


def call(path, body, kind="application/json"):
    request = urllib.request.Request(server + path, body, {"Content-Type": kind})
    try:
        with urllib.request.urlopen(request) as answer:
            return json.load(answer)
    except urllib.error.HTTPError as refused:
        status = json.load(refused)
        info = next(d for d in status["details"] if d["@type"].endswith("ErrorInfo"))
        sys.exit(f"{info['reason']}: {status['message']}")


imported = call("/v1/events:import", sys.stdin.buffer.read(), "text/plain")
for question in imported["questions"]:
    print(question["text"], file=sys.stderr)
event = imported["event"]
sheet = call("/v1/events:plan?budget=2s", json.dumps(event).encode())["sheet"]
drawn = call("/v1/callSheets:render", json.dumps({"event": event, "sheet": sheet, "format": "RENDER_FORMAT_TEXT"}).encode())
sys.stdout.buffer.write(base64.b64decode(drawn["content"]))
