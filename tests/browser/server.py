"""A static host for tests: loopback, a sub-path, compression, a strict policy in its headers."""

import gzip
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO
from pathlib import Path
from threading import Thread
from typing import Any

from generator.pages.frame import policy

SUB_PATH = "/some/guide/"
"""Where the site lies on the host, so that a link that leads to the host's root is found out."""

COMPRESSED = ("text/html", "text/css", "text/javascript", "application/json", "image/svg+xml")


class Handler(SimpleHTTPRequestHandler):
    """Serves a folder below SUB_PATH, as a common static host would."""

    protocol_version = "HTTP/1.1"
    disable_nagle_algorithm = True

    def translate_path(self, path: str) -> str:
        inside = path.removeprefix(SUB_PATH)
        return super().translate_path("/" + inside if inside != path else "/there-is-nothing")

    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", policy.IN_HEADER)
        self.send_header("X-Content-Type-Options", "nosniff")
        super().end_headers()

    def send_head(self) -> Any:
        """The body of an answer; a text is compressed for a client that says it can read that."""
        path = Path(self.translate_path(self.path.split("?")[0].split("#")[0]))
        if self.path.split("?")[0].endswith("/"):
            path /= "index.html"
        kind = self.guess_type(path.as_posix())
        takes_gzip = "gzip" in self.headers.get("Accept-Encoding", "")
        if not (path.is_file() and takes_gzip and kind.startswith(COMPRESSED)):
            return super().send_head()
        body = gzip.compress(path.read_bytes(), mtime=0)
        self.send_response(200)
        self.send_header("Content-Type", f"{kind}; charset=utf-8")
        self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        return BytesIO(body)

    def log_message(self, format: str, *args: Any) -> None:
        """Nothing: a test's output is its own."""


@contextmanager
def serving(folder: Path) -> Iterator[str]:
    """Serve `folder`; gives its address, with a slash at the end."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Handler, directory=str(folder))) as server:
        server.daemon_threads = True
        thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}{SUB_PATH}"
        server.shutdown()
        thread.join()
