"""What the commands print with: lines, problems, a bar for long work."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, NoReturn

import click

from generator.specs.problems import Problem, ProblemsFound


def print_lines(lines: Any, err: bool = False) -> None:
    for line in lines:
        click.echo(line, err=err)


@contextmanager
def failing_well() -> Iterator[None]:
    """Turns what a user can cause into lines and exit code 1."""
    try:
        yield
    except ProblemsFound as found:
        stop(list(found.problems))


def stop(problems: list[Problem]) -> NoReturn:
    from generator.publish.report import problem_lines

    print_lines(problem_lines(problems), err=True)
    sys.exit(1)


@contextmanager
def progress_bar() -> Iterator[Callable[[float, str], None] | None]:
    """A bar on the terminal's error stream; nothing when that is no terminal."""
    if not sys.stderr.isatty():
        yield None
        return
    with click.progressbar(
        length=1000, file=sys.stderr, show_eta=False, item_show_func=lambda item: item
    ) as bar:

        def tell(share: float, what: str) -> None:
            bar.update(int(share * 1000) - bar.pos, what)

        yield tell
