"""Hears of new sheets and of days that begin and end: KINORDER_WEBHOOK_SECRET=whsec_... webhook.py [PORT]"""

import base64
import hashlib
import hmac
import http.server
import json
import os
import sys
import time

key = base64.b64decode(os.environ["KINORDER_WEBHOOK_SECRET"].removeprefix("whsec_"))


class Told(http.server.BaseHTTPRequestHandler):
    def do_POST(self):
        body = self.rfile.read(int(self.headers["Content-Length"]))
        at = self.headers["webhook-timestamp"]
        signed = f"{self.headers['webhook-id']}.{at}.".encode() + body
        signature = "v1," + base64.b64encode(hmac.digest(key, signed, hashlib.sha256)).decode()
        genuine = any(hmac.compare_digest(signature, s) for s in self.headers["webhook-signature"].split())
        fresh = abs(time.time() - int(at)) < 300
        self.send_response(204 if genuine and fresh else 401)
        self.end_headers()
        if genuine and fresh:  # one that comes twice has the same webhook-id
            message = json.loads(body)
            print(message["type"], message["data"]["name"], flush=True)

    def log_message(self, *_):
        pass


http.server.HTTPServer(("127.0.0.1", int(sys.argv[1]) if len(sys.argv) > 1 else 7469), Told).serve_forever()
