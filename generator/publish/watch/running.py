"""Runs server, builder and the search for saves, from start to Ctrl-C."""

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from generator.publish.watch.changes import find_saved, read_stamps, wait_for_save
from generator.publish.watch.follow import Follower, PrintLine
from generator.publish.watch.server import open_server
from generator.publish.watch.stage import ShownSite


def watch_publication(
    root: Path,
    port: int | None,
    print_line: PrintLine,
    ended: threading.Event,
    ready: Callable[[str], None] | None = None,
) -> None:
    """Serve the publication at `root` and rebuild it after each save until `ended` is set.

    Parameters
    ----------
    port
        Port on 127.0.0.1; if None, the first free one from 8000 on.
    print_line
        Called with each line for the terminal, from several threads.
    ready
        Called with the address once the server answers.

    Raises
    ------
    ProblemsFound
        If there is no free port. Problems of the publication are shown, not raised.
    """
    root = root.resolve()
    site = ShownSite()
    server = open_server(site, port)
    server.start()
    follower = Follower(root, site, print_line)
    try:
        print_line(
            f"Watching {root}, shown at {server.address} on this machine only. Ctrl-C ends it."
        )
        if ready:
            ready(server.address)
        before = read_stamps(root)
        follower.start()
        while not ended.is_set():
            now = wait_for_save(lambda: read_stamps(root), before, ended.wait)
            if files := find_saved(before, now):
                follower.notify_saved(files)
            before = now
        print_line("Ended.")
    finally:
        server.close()
        follower.stop()


@contextmanager
def end_on_signal() -> Iterator[threading.Event]:
    """An event that is set by SIGINT (Ctrl-C) and SIGTERM; the earlier handlers are restored at the end."""
    ended = threading.Event()
    kinds = (signal.SIGINT, signal.SIGTERM)
    before = [signal.signal(kind, lambda number, frame: ended.set()) for kind in kinds]
    try:
        yield ended
    finally:
        for kind, handler in zip(kinds, before, strict=True):
            signal.signal(kind, handler)
