"""A pretend site, and a process that publishes it and can be made to die on the way.

`python -m tests.publish.pretend OUT WORD [--die-at N] [--two-renames] [--as-nobody]`
"""

import argparse
import atexit
import os
import signal
import sys
from collections.abc import Iterator
from pathlib import Path

from generator.pages.output import Output
from generator.publish import swap
from generator.publish.staging import claimed_folder, write_site
from generator.specs.problems import ProblemsFound

NOBODY = 65534
"""The user without rights, on Debian."""

TOUCHES_DISK = {"open", "os.mkdir", "os.rename", "os.remove", "os.rmdir", "shutil.rmtree"}
"""Audit events just before the file system changes; the exchange announces itself as dlsym."""


def pages(word: str, count: int = 6) -> Iterator[Output]:
    """A site in which every file says the same word."""
    for number in range(count):
        yield Output(f"part-{number % 2}/{number}/index.html", f"<p>{word}".encode())
    yield Output(f"only-in-{word}/index.html", f"<p>{word}".encode())


def publish(out: Path, word: str) -> None:
    with claimed_folder(out):
        write_site(pages(word), out, lambda output: None)


def site_of(out: Path) -> dict[str, bytes]:
    """Every file below `out`, by path."""
    return {
        path.relative_to(out).as_posix(): path.read_bytes()
        for path in sorted(out.rglob("*"))
        if path.is_file()
    }


def whole(out: Path) -> str:
    """The one word that a whole site says. Fails on a mixture or a part."""
    found = {path: data for path, data in site_of(out).items() if path.endswith(".html")}
    (word,) = {data.decode().removeprefix("<p>") for data in found.values()}

    assert found == {page.path: page.data for page in pages(word)}
    return word


def _die_at(number: int) -> None:
    """Kill this process just before its `number`th change of the file system; 0 for never."""
    counted = 0

    def count(event: str, arguments: tuple[object, ...]) -> None:
        nonlocal counted
        if event in TOUCHES_DISK or (event == "ctypes.dlsym" and "renameat2" in arguments):
            counted += 1
            if counted == number:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(count)
    if number == 0:
        atexit.register(lambda: sys.stdout.write(str(counted)))


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("out", type=Path)
    parser.add_argument("word")
    parser.add_argument("--die-at", type=int, default=0)
    parser.add_argument("--two-renames", action="store_true")
    parser.add_argument("--as-nobody", action="store_true")
    wanted = parser.parse_args()
    if wanted.two_renames:
        swap.exchange = lambda one, other: False
    if wanted.as_nobody and os.geteuid() == 0:
        os.setuid(NOBODY)
    _die_at(wanted.die_at)
    try:
        publish(wanted.out, wanted.word)
    except ProblemsFound as found:
        sys.exit(str(found))


if __name__ == "__main__":
    main()
