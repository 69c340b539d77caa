"""Server, builder and the look-out for saves together, from start to Ctrl-C."""

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from generator.publish.watch.changes import saved, seen, settled
from generator.publish.watch.follow import Follower, Say
from generator.publish.watch.server import serve
from generator.publish.watch.stage import Stage


def watch(
    root: Path,
    port: int | None,
    say: Say,
    ended: threading.Event,
    ready: Callable[[str], None] | None = None,
) -> None:
    """Serve the publication at `root` and follow its files until `ended` is set.

    Parameters
    ----------
    port
        Of 127.0.0.1; the first free one from 8000 on when None.
    say
        Told one line at a time; from several threads.
    ready
        Told the address, once it answers.

    Raises
    ------
    ProblemsFound
        When there is no port. Whatever is wrong with the publication is shown, and raises nothing.
    """
    root = root.resolve()
    stage = Stage()
    server = serve(stage, port)
    server.start()
    follower = Follower(root, stage, say)
    try:
        say(f"Watching {root}, shown at {server.address} on this machine only. Ctrl-C ends it.")
        if ready:
            ready(server.address)
        before = seen(root)
        follower.start()
        while not ended.is_set():
            now = settled(lambda: seen(root), before, ended.wait)
            if files := saved(before, now):
                follower.saved(files)
            before = now
        say("Ended.")
    finally:
        server.close()
        follower.stop()


@contextmanager
def ended_by_signal() -> Iterator[threading.Event]:
    """An event that Ctrl-C sets, and whoever ends the process politely."""
    ended = threading.Event()
    kinds = (signal.SIGINT, signal.SIGTERM)
    before = [signal.signal(kind, lambda number, frame: ended.set()) for kind in kinds]
    try:
        yield ended
    finally:
        for kind, handler in zip(kinds, before, strict=True):
            signal.signal(kind, handler)
