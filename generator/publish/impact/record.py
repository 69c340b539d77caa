"""`impact --record`: keeps what is published on a day in a file, for comparison with later days."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from generator.content.files import check_inside_content
from generator.content.releases import FOLDER, Release, format_release
from generator.figures import show
from generator.figures.criteria import running_lists
from generator.figures.records.record import RecordChanges, compare_records, make_record
from generator.figures.records.record import format_shown_value as value
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.tabulate import tabulate
from generator.publish.build.new_file import put_new
from generator.publish.impact.changes.live_text import check_texts
from generator.publish.reading import errors_of, read_publication
from generator.specs.english import format_count
from generator.specs.problems import Problem, ProblemsFound

MOST_FIGURES = 12
"""Moved figures listed for one bike."""


def record_release(root: Path, day: date) -> list[str]:
    """Check and compute the publication, write `content/releases/<day>.json`, and return a summary as lines.

    Raises
    ------
    ProblemsFound
        If the publication has errors, if there is a later record, or if a different record of the day exists.
    """
    publication = read_publication(root)
    content = publication.content
    file = f"{FOLDER}/{day}.json"
    earlier = [each for each in content.releases if each.day < day]
    if content.releases and content.releases[-1].day > day:
        what = f"there is a later record, of {content.releases[-1].day}"
        raise ProblemsFound([Problem(file, 0, 0, what, "Records are made in the order of days")])
    table = tabulate(publication.bikes, content)
    errors = errors_of(list(check_texts(content.texts, table, content)))
    if errors:
        raise ProblemsFound(errors)
    now = make_record(
        table,
        day,
        running_lists.list_member_slugs(running_lists.find_all_list_members(table, content)),
    )
    text = format_release(now)
    fresh = _write_once(root / file, root, file, text)
    figures = sum(map(len, now.figures.values()))
    counts = [(len(now.figures), "bike"), (figures, "figure"), (len(now.lists), "list")]
    what = ", ".join(format_count(count, word) for count, word in counts)
    verb = "Recorded" if fresh else "Recorded before, and the same"
    system: show.UnitSystem = "us" if content.settings.units == "us" else "metric"
    return [
        f"{verb}: {what} in {file}, {len(text.encode()) / 1000:,.0f} kB.",
        *_describe_movement(earlier[-1] if earlier else None, now, table, system),
    ]


def _write_once(path: Path, root: Path, file: str, text: str) -> bool:
    """Write the whole file or nothing. False if it already exists with the same text."""
    refused = check_inside_content(path, root)
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


def _describe_movement(
    last: Release | None, now: Release, table: FiguresTable, system: show.UnitSystem
) -> Iterator[str]:
    """Lines on what moved since the previous record."""
    if last is None:
        yield "It is the first record."
        return
    movement = compare_records(last, now, table, system)
    if not movement:
        yield f"Nothing moved since {last.day}."
        return
    yield f"Since {last.day}:"
    yield from _describe_bikes_and_lists(movement)
    for slug, moves in movement.moved.items():
        listed = [
            f"{move.kind.short} {value(move.old, system) or 'not known'} → "
            f"{value(move.new, system) or 'not known'}"
            for move in moves[:MOST_FIGURES]
        ]
        more = len(moves) - len(listed)
        yield f"  {slug}: " + "; ".join([*listed, *([f"and {more} more"] if more else [])])


def _describe_bikes_and_lists(movement: RecordChanges) -> Iterator[str]:
    """Lines on bikes, list members and figure kinds that are new or gone."""
    if movement.added:
        yield f"  new: {', '.join(movement.added)}"
    if movement.removed:
        yield f"  gone: {', '.join(movement.removed)}"
    for verb, pairs in (("joins", movement.entered), ("leaves", movement.left)):
        for name, slug in pairs:
            yield f"  {slug} {verb} {name}"
    if movement.new_kinds:
        yield f"  worked out for the first time: {', '.join(k.id for k in movement.new_kinds)}"
