"""Serves the shown site to browsers on this machine.

The server listens on the loopback interface only. It answers only requests for `localhost` or `127.0.0.1`, so that no
foreign page reaches it under its own name (DNS rebinding), and only GET and HEAD. A path is a key of the site in memory
and nothing else, so none leads out of it.

Beside the site it serves `/_watch.js` and `/_watch.css`, which are added to every page, and `/_events`, the stream of
server-sent events (HTML Living Standard, "Server-sent events") that the script listens to.
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

from generator.publish.watch.stage import ShownSite, SiteSnapshot
from generator.specs.problems import Problem, ProblemsFound

LOOPBACK = "127.0.0.1"
HOST_NAMES = ("127.0.0.1", "localhost")
FIRST_PORT, PORTS = 8000, 50
"""First port to try, and how many to try."""
EVENTS, SCRIPT, STYLE = "/_events", "/_watch.js", "/_watch.css"
HEARTBEAT = 10.0
"""Longest silence on a stream of events, so that a closed tab is noticed. [s]"""
IDLE_TIMEOUT = 60.0
"""Time after which a connection without a request is closed. [s]"""

CONTENT_TYPES = {
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
    """An HTTP server for the shown site, with a thread for each connection."""

    daemon_threads = False  # `close` ends every connection and waits for its thread
    request_queue_size = 64

    def __init__(self, site: ShownSite, port: int) -> None:
        self.site = site
        self._open: set[socket.socket] = set()
        self._guard = threading.Lock()
        super().__init__((LOOPBACK, port), _Handler)
        self._thread = threading.Thread(target=self.serve_forever, args=(0.1,), name="server")

    @property
    def address(self) -> str:
        return f"http://{LOOPBACK}:{self.server_port}/"

    def server_bind(self) -> None:
        """Bind without looking up the machine's name, as the standard library does."""
        self.socket.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        self.socket.bind(self.server_address)
        self.server_name, self.server_port = LOOPBACK, self.socket.getsockname()[1]

    def start(self) -> None:
        self._thread.start()

    def close(self) -> None:
        """End the server, its connections and all its threads."""
        self.site.close()
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
        """Print nothing: a browser may disconnect in the middle of an answer."""


def open_server(site: ShownSite, port: int | None) -> Server:
    """A server on `port`, or on the first free one if it is None.

    Raises
    ------
    ProblemsFound
        If the port, or every port that is tried, is in use or forbidden.
    """
    tried = [port] if port is not None else range(FIRST_PORT, FIRST_PORT + PORTS)
    why = ""
    for each in tried:
        try:
            return Server(site, each)
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
    timeout = IDLE_TIMEOUT

    def do_GET(self) -> None:
        if not _is_own_name(self.headers.get("Host", "")):
            self._send_refusal(HTTPStatus.FORBIDDEN, "Ask for localhost or 127.0.0.1.")
            return
        asked = urlsplit(self.path)
        if asked.path == EVENTS:
            self._send_events(parse_qs(asked.query))
        elif asked.path in (SCRIPT, STYLE):
            data = Path(__file__).with_name(asked.path.removeprefix("/_")).read_bytes()
            self._send_answer(HTTPStatus.OK, CONTENT_TYPES[Path(asked.path).suffix], data)
        else:
            self._send_page(unquote(asked.path))

    def do_HEAD(self) -> None:
        self.do_GET()

    def log_message(self, format: str, *args: Any) -> None:
        """Print nothing: requests would bury the lines on builds."""

    def _send_page(self, asked: str) -> None:
        """Answer with a file of the site; a page gets the script that listens."""
        snapshot = self.server.site.take_snapshot()
        path = find_page_path(asked)
        if f"{path}/index.html" in snapshot.files and path not in snapshot.files:
            self._send_answer(
                HTTPStatus.FOUND, CONTENT_TYPES[".txt"], b"", Location=quote(f"/{path}/")
            )
            return
        found = snapshot.resolve_path(path)
        kind = CONTENT_TYPES.get(Path(found).suffix, "text/plain; charset=utf-8")
        data = snapshot.files.get(found, _NOTHING_YET)
        status = HTTPStatus.OK if found == path else HTTPStatus.NOT_FOUND
        if not snapshot.files:
            status = HTTPStatus.SERVICE_UNAVAILABLE
        if kind == CONTENT_TYPES[".html"]:
            data = add_watch_script(data, snapshot.hash_page(path))
        self._send_answer(status, kind, data)

    def _send_events(self, query: dict[str, list[str]]) -> None:
        """Send a page the current problems after each change, and whether to reload itself."""
        path = find_page_path(query.get("path", ["/"])[0])
        shown = query.get("is", [""])[0]
        self.close_connection = True
        self.send_response(HTTPStatus.OK)
        self._send_headers("text/event-stream; charset=utf-8", {"Connection": "close"})
        if self.command == "HEAD":
            return
        snapshot = self.server.site.take_snapshot()
        while not snapshot.closed:
            self.wfile.write(f"data: {format_event(snapshot, path, shown)}\n\n".encode())
            number = snapshot.number
            while (
                snapshot := self.server.site.wait_for_change(number, HEARTBEAT)
            ).number == number:
                self.wfile.write(b":\n\n")

    def _send_refusal(self, status: HTTPStatus, words: str) -> None:
        self.close_connection = True
        self._send_answer(status, CONTENT_TYPES[".txt"], f"{words}\n".encode(), Connection="close")

    def _send_answer(self, status: HTTPStatus, kind: str, data: bytes, **headers: str) -> None:
        self.send_response(status)
        self._send_headers(kind, {**headers, "Content-Length": str(len(data))})
        if self.command != "HEAD":
            self.wfile.write(data)

    def _send_headers(self, kind: str, headers: dict[str, str]) -> None:
        self.send_header("Content-Type", kind)
        self.send_header("Cache-Control", "no-store")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Cross-Origin-Resource-Policy", "same-origin")
        for name, value in headers.items():
            self.send_header(name, value)
        self.end_headers()


def find_page_path(asked: str) -> str:
    """The path in the site for the path of an address, which must be decoded already."""
    path = asked.removeprefix("/")
    return f"{path}index.html" if path == "" or path.endswith("/") else path


def add_watch_script(page: bytes, identity: str) -> bytes:
    """Add the listening script to a page; the script's address holds the identity of the page."""
    headers = (
        f'<link rel="stylesheet" href="{STYLE}">\n'
        f'<script src="{SCRIPT}?is={identity}" defer></script>\n</head>'
    )
    return page.replace(b"</head>", headers.encode(), 1)


def format_event(snapshot: SiteSnapshot, path: str, shown: str) -> str:
    """JSON for the page at `path` whose identity is `shown`: whether to reload, and the problems."""
    message = {
        "reload": snapshot.hash_page(path) != shown,
        "problems": [asdict(problem) for problem in snapshot.problems],
    }
    return json.dumps(message)


def _is_own_name(host: str) -> bool:
    """Is this Host header, with or without a port, a name of the loopback interface?"""
    name, _, port = host.partition(":")
    return name.lower() in HOST_NAMES and (port == "" or port.isdecimal())
