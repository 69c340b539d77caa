"""`impact --record`: what is published on a day, kept as a file that later days are set against."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from generator.content.files import outside
from generator.content.releases import FOLDER, Release, release_text
from generator.figures import show
from generator.figures.criteria import running_lists
from generator.figures.records.record import Movement, between, record_of
from generator.figures.records.record import shown as value
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.tabulate import tabulate
from generator.publish.build.new_file import put_new
from generator.publish.impact.live_text import text_problems
from generator.publish.reading import errors_of, read_publication
from generator.publish.report import plural
from generator.specs.problems import Problem, ProblemsFound

MOST = 12
"""Figures told of one bike."""


def record(root: Path, day: date) -> list[str]:
    """Check, compute, and write `content/releases/<day>.json`; gives what to say of it.

    Raises
    ------
    ProblemsFound
        With the errors of the publication; when a later record stands; when one of the day says something else.
    """
    publication = read_publication(root)
    content = publication.content
    file = f"{FOLDER}/{day}.json"
    earlier = [each for each in content.releases if each.day < day]
    if content.releases and content.releases[-1].day > day:
        what = f"there is a later record, of {content.releases[-1].day}"
        raise ProblemsFound([Problem(file, 0, 0, what, "Records are made in the order of days")])
    table = tabulate(publication.bikes, content)
    errors = errors_of(list(text_problems(content.texts, table, content)))
    if errors:
        raise ProblemsFound(errors)
    now = record_of(table, day, running_lists.members(running_lists.rolls(table, content)))
    text = release_text(now)
    fresh = _written(root / file, root, file, text)
    figures = sum(map(len, now.figures.values()))
    counts = [(len(now.figures), "bike"), (figures, "figure"), (len(now.lists), "list")]
    what = ", ".join(plural(count, word) for count, word in counts)
    verb = "Recorded" if fresh else "Recorded before, and the same"
    system: show.System = "us" if content.settings.units == "us" else "metric"
    return [
        f"{verb}: {what} in {file}, {len(text.encode()) / 1000:,.0f} kB.",
        *_since(earlier[-1] if earlier else None, now, table, system),
    ]


def _written(path: Path, root: Path, file: str, text: str) -> bool:
    """Write a whole file or nothing; False when it stands there already, word for word."""
    refused = outside(path, root)
    if refused:
        raise ProblemsFound([refused])
    data = text.encode()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            put_new(path, data)
            return True
        except FileExistsError:
            if path.read_bytes() == data:
                return False
    except OSError as error:
        what = f"the record cannot be written: {error.strerror}"
        mend = "Check the rights of its folder, and the space on the disk"
        raise ProblemsFound([Problem(file, 0, 0, what, mend)]) from error
    what = "this day is recorded already, and its record says something else"
    mend = "Leave it, and record under a later day; a record is never written anew"
    raise ProblemsFound([Problem(file, 0, 0, what, mend)])


def _since(
    last: Release | None, now: Release, table: FiguresTable, system: show.System
) -> Iterator[str]:
    """What moved since the record before."""
    if last is None:
        yield "It is the first record."
        return
    movement = between(last, now, table, system)
    if not movement:
        yield f"Nothing moved since {last.day}."
        return
    yield f"Since {last.day}:"
    yield from _bikes_and_lists(movement)
    for slug, moves in movement.moved.items():
        told = [
            f"{move.kind.short} {value(move.old, system) or 'not known'} → "
            f"{value(move.new, system) or 'not known'}"
            for move in moves[:MOST]
        ]
        more = len(moves) - len(told)
        yield f"  {slug}: " + "; ".join([*told, *([f"and {more} more"] if more else [])])


def _bikes_and_lists(movement: Movement) -> Iterator[str]:
    if movement.come:
        yield f"  new: {', '.join(movement.come)}"
    if movement.gone:
        yield f"  gone: {', '.join(movement.gone)}"
    for verb, pairs in (("joins", movement.entered), ("leaves", movement.left)):
        for name, slug in pairs:
            yield f"  {slug} {verb} {name}"
    if movement.new_kinds:
        yield f"  worked out for the first time: {', '.join(k.id for k in movement.new_kinds)}"
