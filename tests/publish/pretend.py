"""A pretend site, and a process that publishes it and can be made to die on the way.

`python -m tests.publish.pretend OUT WORD [--two-renames] [--as-nobody]`; `tests.publish.nursery` makes it die.
"""

import argparse
import os
import sys
from collections.abc import Iterator
from pathlib import Path

from generator.pages.frame.output import Output
from generator.publish.build import swap
from generator.publish.build.staging import claimed_folder, write_site
from generator.specs.problems import ProblemsFound
from tests.publish.site_on_disk import site_of

NOBODY = 65534
"""The user without rights, on Debian."""


def pages(word: str, count: int = 6) -> Iterator[Output]:
    """A site in which every file says the same word."""
    for number in range(count):
        yield Output(f"part-{number % 2}/{number}/index.html", f"<p>{word}".encode())
    yield Output(f"only-in-{word}/index.html", f"<p>{word}".encode())


def publish(out: Path, word: str) -> None:
    with claimed_folder(out):
        write_site(pages(word), out, lambda output: None)


def whole(out: Path) -> str:
    """The one word that a whole site says. Fails on a mixture or a part."""
    found = {path: data for path, data in site_of(out).items() if path.endswith(".html")}
    (word,) = {data.decode().removeprefix("<p>") for data in found.values()}

    assert found == {page.path: page.data for page in pages(word)}
    return word


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("out", type=Path)
    parser.add_argument("word")
    parser.add_argument("--two-renames", action="store_true")
    parser.add_argument("--as-nobody", action="store_true")
    wanted = parser.parse_args()
    if wanted.two_renames:
        swap.exchange = lambda one, other: False
    if wanted.as_nobody and os.geteuid() == 0:
        os.setuid(NOBODY)
    try:
        publish(wanted.out, wanted.word)
    except ProblemsFound as found:
        sys.exit(str(found))


if __name__ == "__main__":
    main()
