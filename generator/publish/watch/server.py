"""Shows the stage to browsers on this machine.

It listens on the loopback interface alone, answers only where a browser asked for `localhost` or `127.0.0.1`, so that
no page from elsewhere reaches it under a name of its own (DNS rebinding), and reads: GET and HEAD. A path is a key of
the site in memory and nothing else, so none leads out of it.

Beside the site there are `/_watch.js` and `/_watch.css`, which every page gets while it is watched, and `/_events`,
the stream of server-sent events (HTML Living Standard, "Server-sent events") that the script listens to.
"""

import errno
import json
import socket
import threading
from contextlib import suppress
from dataclasses import asdict
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, quote, unquote, urlsplit

from generator.publish.watch.stage import Look, Stage
from generator.specs.problems import Problem, ProblemsFound

LOOPBACK = "127.0.0.1"
NAMES = ("127.0.0.1", "localhost")
FIRST_PORT, PORTS = 8000, 50
"""Where to look for a free port, and how many to try."""
EVENTS, SCRIPT, STYLE = "/_events", "/_watch.js", "/_watch.css"
BEAT = 10.0
"""Longest silence on a stream of events, so that a closed tab is noticed. [s]"""
IDLE = 60.0
"""A connection that asks for nothing for so long is closed. [s]"""

TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".csv": "text/csv; charset=utf-8",
    ".xml": "application/xml",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".txt": "text/plain; charset=utf-8",
}
_NOTHING_YET = b"""<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><title>Not built yet</title></head>
<body><h1>Not built yet</h1><p>The page comes by itself as soon as the site is built.</p></body>
</html>
"""


class Server(ThreadingHTTPServer):
    daemon_threads = False  # `close` ends every connection, and waits for its thread
    request_queue_size = 64

    def __init__(self, stage: Stage, port: int) -> None:
        self.stage = stage
        self._open: set[socket.socket] = set()
        self._guard = threading.Lock()
        super().__init__((LOOPBACK, port), _Handler)
        self._thread = threading.Thread(target=self.serve_forever, args=(0.1,), name="server")

    @property
    def address(self) -> str:
        return f"http://{LOOPBACK}:{self.server_port}/"

    def server_bind(self) -> None:
        """Without the look-up of the machine's name that the standard library does here."""
        self.socket.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        self.socket.bind(self.server_address)
        self.server_name, self.server_port = LOOPBACK, self.socket.getsockname()[1]

    def start(self) -> None:
        self._thread.start()

    def close(self) -> None:
        """End the server, its connections and all its threads."""
        self.stage.close()
        self.shutdown()
        self._thread.join()
        with self._guard:
            for connection in self._open:
                with suppress(OSError):
                    connection.shutdown(socket.SHUT_RDWR)
        self.server_close()

    def process_request(self, request: Any, client_address: Any) -> None:
        with self._guard:
            self._open.add(request)
        super().process_request(request, client_address)

    def shutdown_request(self, request: Any) -> None:
        with self._guard:
            self._open.discard(request)
        super().shutdown_request(request)

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A browser that goes away in the middle of an answer is nothing to tell."""


def serve(stage: Stage, port: int | None) -> Server:
    """A server on `port`, or on the first free one.

    Raises
    ------
    ProblemsFound
        When there is none to be had.
    """
    tried = [port] if port is not None else range(FIRST_PORT, FIRST_PORT + PORTS)
    why = ""
    for each in tried:
        try:
            return Server(stage, each)
        except OSError as error:
            if error.errno not in (errno.EADDRINUSE, errno.EACCES):
                raise
            why = "is in use" if error.errno == errno.EADDRINUSE else "may not be used"
    which = f"port {port}" if port is not None else f"every port from {FIRST_PORT} on"
    mend = "Name another one with --port, or leave it out and the next free one is taken"
    raise ProblemsFound([Problem("--port", 0, 0, f"{which} {why}", mend)])


class _Handler(BaseHTTPRequestHandler):
    server: Server
    protocol_version = "HTTP/1.1"
    server_version, sys_version = "watch", ""
    disable_nagle_algorithm = True
    timeout = IDLE

    def do_GET(self) -> None:
        if not _own_name(self.headers.get("Host", "")):
            self._refuse(HTTPStatus.FORBIDDEN, "Ask for localhost or 127.0.0.1.")
            return
        asked = urlsplit(self.path)
        if asked.path == EVENTS:
            self._events(parse_qs(asked.query))
        elif asked.path in (SCRIPT, STYLE):
            data = Path(__file__).with_name(asked.path.removeprefix("/_")).read_bytes()
            self._answer(HTTPStatus.OK, TYPES[Path(asked.path).suffix], data)
        else:
            self._page(unquote(asked.path))

    def do_HEAD(self) -> None:
        self.do_GET()

    def log_message(self, format: str, *args: Any) -> None:
        """The terminal tells of builds; requests would bury them."""

    def _page(self, asked: str) -> None:
        look = self.server.stage.look()
        path = page_of(asked)
        if f"{path}/index.html" in look.files and path not in look.files:
            self._answer(HTTPStatus.FOUND, TYPES[".txt"], b"", Location=quote(f"/{path}/"))
            return
        found = look.found(path)
        kind = TYPES.get(Path(found).suffix, "text/plain; charset=utf-8")
        data = look.files.get(found, _NOTHING_YET)
        status = HTTPStatus.OK if found == path else HTTPStatus.NOT_FOUND
        if not look.files:
            status = HTTPStatus.SERVICE_UNAVAILABLE
        if kind == TYPES[".html"]:
            data = watched(data, look.identity(path))
        self._answer(status, kind, data)

    def _events(self, query: dict[str, list[str]]) -> None:
        """Tell a page of problems, and to load itself anew when it is no longer what it was."""
        path = page_of(query.get("path", ["/"])[0])
        shown = query.get("is", [""])[0]
        self.close_connection = True
        self.send_response(HTTPStatus.OK)
        self._send_heads("text/event-stream; charset=utf-8", {"Connection": "close"})
        if self.command == "HEAD":
            return
        look = self.server.stage.look()
        while not look.closed:
            self.wfile.write(f"data: {event(look, path, shown)}\n\n".encode())
            turn = look.turn
            while (look := self.server.stage.wait(turn, BEAT)).turn == turn:
                self.wfile.write(b":\n\n")

    def _refuse(self, status: HTTPStatus, words: str) -> None:
        self.close_connection = True
        self._answer(status, TYPES[".txt"], f"{words}\n".encode(), Connection="close")

    def _answer(self, status: HTTPStatus, kind: str, data: bytes, **heads: str) -> None:
        self.send_response(status)
        self._send_heads(kind, {**heads, "Content-Length": str(len(data))})
        if self.command != "HEAD":
            self.wfile.write(data)

    def _send_heads(self, kind: str, heads: dict[str, str]) -> None:
        self.send_header("Content-Type", kind)
        self.send_header("Cache-Control", "no-store")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Cross-Origin-Resource-Policy", "same-origin")
        for name, value in heads.items():
            self.send_header(name, value)
        self.end_headers()


def page_of(asked: str) -> str:
    """The path in the site that an address's path, already decoded, asks for."""
    path = asked.removeprefix("/")
    return f"{path}index.html" if path == "" or path.endswith("/") else path


def watched(page: bytes, identity: str) -> bytes:
    """A page with the script that listens, which learns from its own address what the page was."""
    heads = (
        f'<link rel="stylesheet" href="{STYLE}">\n'
        f'<script src="{SCRIPT}?is={identity}" defer></script>\n</head>'
    )
    return page.replace(b"</head>", heads.encode(), 1)


def event(look: Look, path: str, shown: str) -> str:
    """What a page that shows `shown` at `path` is told."""
    told = {
        "reload": look.identity(path) != shown,
        "problems": [asdict(problem) for problem in look.problems],
    }
    return json.dumps(told)


def _own_name(host: str) -> bool:
    """Is this Host header, port and all, a name of this machine's loopback?"""
    name, _, port = host.partition(":")
    return name.lower() in NAMES and (port == "" or port.isdecimal())
