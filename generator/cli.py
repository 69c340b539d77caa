"""The commands. They print and set the exit code; the work is done on the floors below.

Floors are imported inside the commands: `--help` and a quick `vet` must not wait for numpy.
"""

import json
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NoReturn

import click

from generator.specs.problems import Problem, ProblemsFound

root_option = click.option(
    "--root",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=Path(),
    help="Folder of the publication; the current folder when left out.",
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def commands() -> None:
    """Builds a comparison guide of electric bicycles from its bikes/ and content/.

    \b
    Example:
      python -m generator build
    """


@commands.command()
@root_option
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder of the site; site/ in the publication when left out.",
)
def build(root: Path, out: Path | None) -> None:
    """Check everything, compute every figure, and write the site.

    The site changes in one step, and only when all went well. Names that begin with a dot stay.

    \b
    Example:
      python -m generator build --out /tmp/preview
    """
    with failing_well():
        from generator.publish.build import build as build_site
        from generator.publish.report import problem_lines, summary_lines

        with progress_bar() as progress:
            summary = build_site(root, out, progress)
        print_lines(problem_lines(summary.warnings), err=True)
        print_lines(summary_lines(summary))


@commands.command()
@click.argument("files", nargs=-1, type=click.Path(exists=True, dir_okay=False, path_type=Path))
@root_option
@click.option(
    "--format",
    "style",
    type=click.Choice(["text", "json", "github"]),
    default="text",
    show_default=True,
    help="Lines for people, a JSON list, or notes beside the lines of a pull request.",
)
def vet(files: tuple[Path, ...], root: Path, style: str) -> None:
    """Check FILES of bikes/ and content/, or all of them, without building.

    A problem is one line, `file:line:column: what is wrong. what would be right.`
    A text that names figures is checked against them only when no FILES are given.

    \b
    Example:
      python -m generator vet bikes/pellimor-fenno.yaml
    """
    with failing_well():
        from generator.publish.check import check
        from generator.publish.report import (
            plural,
            problem_lines,
            problems_as_json,
            problems_for_github,
        )

        problems = check(root, files)
        if style == "json":
            print_lines([problems_as_json(problems)])
        elif style == "github":
            print_lines(problems_for_github(problems))
        else:
            print_lines(problem_lines(problems), err=True)
            if not problems:
                what = plural(len(files), "file") if files else "Bikes and content"
                print_lines([f"{what}: no problems."])
        if any(problem.severity == "error" for problem in problems):
            sys.exit(1)


@commands.command()
@click.argument("bike")
@click.argument("figure", required=False)
@root_option
@click.option(
    "--format",
    "style",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="A derivation to read, or JSON with values in SI.",
)
def trace(bike: str, figure: str | None, root: Path, style: str) -> None:
    """Explain one FIGURE of a BIKE: inputs, formula, numbers, source.

    Without FIGURE, lists every figure of the bike.

    \b
    Example:
      python -m generator trace pellimor-fenno range.rolling
    """
    with failing_well():
        from generator.publish.trace import as_list, as_record, as_text, figures_of

        figures = figures_of(root, bike, figure)
        if style == "json":
            records = [as_record(found) for found in figures]
            answer: Any = records[0] if figure else records
            print_lines([json.dumps(answer, indent=1, ensure_ascii=False, allow_nan=False)])
        else:
            print_lines([as_text(figures[0]) if figure else as_list(figures)])


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


def main() -> None:
    """Entry of `python -m generator`."""
    try:
        commands(prog_name="python -m generator", standalone_mode=False)
    except click.UsageError as error:
        error.show()
        sys.exit(2)
    except click.ClickException as error:
        error.show()
        sys.exit(1)
    except (click.Abort, KeyboardInterrupt):
        click.echo("Stopped.", err=True)
        sys.exit(1)
    except BrokenPipeError:
        # The reader has gone, as with `| head`. Python would complain once more at its exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(1)
