"""Which changes made a sentence untrue: what its condition reads, compared with the newest record of a release."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from generator.content.releases import Release
from generator.figures.criteria.fields import FIELDS, SPEC_KEYS, field_texts
from generator.figures.records.record import restore_figure
from generator.pages.prose.claims import ReadKeys, format_apart
from generator.specs.bike import Bike
from generator.specs.yaml.files import read_mapping
from generator.specs.yaml.located import Keys

if TYPE_CHECKING:
    from generator.figures import show
    from generator.figures.table.figures_table import FiguresTable

MOST_MOVES = 3
"""Most changes named in one message."""


def describe_moves(
    table: "FiguresTable",
    releases: Sequence[Release],
    reads: ReadKeys,
    system: "show.UnitSystem",
    root: Path | None = None,
) -> str:
    """What moved since the last record, as a sentence without a full stop; empty if there is no record.

    `root` is the publication's folder, for the lines of spec files.
    """
    if not releases:
        return ""
    last = releases[-1]
    bikes = {bike.slug: bike for bike in table.bikes}
    moves: list[str] = []
    new: set[str] = set()
    for slug, key in dict.fromkeys(reads):
        if slug not in last.figures:
            if slug not in new:
                moves.append(f"{bikes[slug].full_name} is new ({bikes[slug].file})")
            new.add(slug)
        elif move := _describe_move(table, last, bikes[slug], key, system):
            moves.append(move + _format_place(bikes[slug], key, root))
    if not moves:
        return f"since the record of {last.day} nothing that it reads has moved"
    more = len(moves) - MOST_MOVES
    named = [*moves[:MOST_MOVES], f"and {more} more"] if more > 0 else moves
    return f"since the record of {last.day}: {', '.join(named)}"


def _describe_move(
    table: "FiguresTable", last: Release, bike: Bike, key: str, system: "show.UnitSystem"
) -> str:
    """`Mass of Zandreth Kirru from 29.5 kg to 14 kg`; empty where it stayed."""
    if key in FIELDS:
        before = last.fields.get(bike.slug, {}).get(key, "not known")
        after = field_texts(bike).get(key, "not known")
        title = FIELDS[key].title
    else:
        old, figure = restore_figure(last, bike.slug, key, table), table.get(bike.slug, key)
        title = table.kinds[key].short
        if old is not None and figure is not None:
            if (old.value, old.low, old.high) == (figure.value, figure.low, figure.high):
                return ""
            before, after = format_apart(old, figure, system)
        else:
            before = after = "not known"
            if old is not None:
                before = format_apart(old, old, system)[0]
            if figure is not None:
                after = format_apart(figure, figure, system)[0]
    return "" if before == after else f"{title} of {bike.full_name} from {before} to {after}"


def _format_place(bike: Bike, key: str, root: Path | None) -> str:
    """File and line of a stated value, such as ` (bikes/zandreth-kirru.yaml:14)`; empty if not found."""
    keys: Keys = SPEC_KEYS.get(key, ())
    if root is None or not keys:
        return ""
    marked, _ = read_mapping(root / bike.file, root)
    line = marked.where(keys)[0] if marked is not None else 0
    return f" ({bike.file}:{line})" if line else ""
