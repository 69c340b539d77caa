"""The report's words, the same for the terminal and for Markdown. Nothing here is escaped."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple, TypeVar

from generator.publish.impact.model import (
    NARROWER,
    WIDER,
    BikeChange,
    Impact,
    LiveFigure,
    Move,
    Standing,
    interval_of,
    value_of,
)

Item = TypeVar("Item")


def title(impact: Impact) -> str:
    return f"What changes in the guide from {impact.before} to {impact.after}"


def summary(impact: Impact) -> list[tuple[str, str]]:
    """One row for each thing that can change, with its count in words."""
    clear = sum(swap.clear for swap in impact.swaps)
    ways = Counter(str(each.what) for each in impact.lists)
    gone = len(impact.gone_problems)
    rows = [
        ("Bikes", _counted(Counter(str(change.what) for change in impact.bikes))),
        ("Settings, riders, routes and texts", _some(len(impact.content), "change")),
        ("Figures that read otherwise", _figures(impact)),
        ("Bases", _some(len(impact.basis), "figure rests on another basis", "figures rest on another basis")),
        ("Intervals", _widths(impact)),
        ("Ranks swapped", f"{len(impact.swaps)}, of which {clear} clear" if impact.swaps else "none"),
        ("Lists", _counted(ways)),
        ("Live figures in texts", _some(len(impact.live), "reads otherwise", "read otherwise")),
        ("Sentences", _some(len(impact.sentences), "holds no more", "hold no more")),
        ("Pages", _pages(impact)),
        ("Problems", f"{len(impact.new_problems)} new, {gone} gone" if gone or impact.new_problems else "none new"),
    ]  # fmt: skip
    return rows


def _figures(impact: Impact) -> str:
    words = f"{len(impact.shown):,}" if impact.shown else "none"
    if impact.folded:
        words += f"; {len(impact.folded):,} more moved and show the same value"
    return words


def _widths(impact: Impact) -> str:
    wider = sum((move.width or 1.0) > 1.0 for move in impact.widths)
    narrower = len(impact.widths) - wider
    if not impact.widths:
        return "none notably narrower or wider"
    return f"{narrower} notably narrower, {wider} notably wider"


def _pages(impact: Impact) -> str:
    pages = impact.pages
    words = f"{len(pages.added)} added, {len(pages.gone)} gone"
    return words if pages.changed is None else f"{words}, {len(pages.changed)} changed"


def _counted(counts: Counter[str]) -> str:
    return ", ".join(f"{count} {what}" for what, count in sorted(counts.items())) or "none"


def _some(count: int, one: str, many: str = "") -> str:
    if not count:
        return "none"
    return f"{count:,} {one if count == 1 else many or one + 's'}"


class OfBike(NamedTuple):
    slug: str
    name: str
    change: BikeChange | None
    """Of its file."""
    moves: list[Move]
    """Those that a reader sees; headline figures first."""
    folded: list[Move]
    """The others; first the headline figures, then those whose interval reads otherwise."""


def by_bike(impact: Impact) -> Iterator[OfBike]:
    """Every bike whose file changed or some of whose figures or intervals read otherwise, by slug."""
    changes = {change.slug: change for change in impact.bikes}
    names = {change.slug: change.name for change in impact.bikes}
    names |= {m.bike: m.name for m in impact.moves if m.shows or m.old_text != m.new_text}
    moved: dict[str, list[Move]] = {}
    for move in impact.moves:
        moved.setdefault(move.bike, []).append(move)
    for slug in sorted(names):
        mine = sorted(moved.get(slug, ()), key=lambda move: not move.headline)
        folded = [move for move in mine if not move.shows]
        folded.sort(key=lambda move: move.old_text == move.new_text)
        shown = [move for move in mine if move.shows]
        yield OfBike(slug, names[slug], changes.get(slug), shown, folded)


def by_cause(moves: Iterable[Move]) -> list[tuple[tuple[str, ...], list[Move]]]:
    """Moves with the same causes together, in their order."""
    found: dict[tuple[str, ...], list[Move]] = {}
    for move in moves:
        found.setdefault(move.why, []).append(move)
    return list(found.items())


def happened(change: BikeChange) -> str:
    """What became of a bike, in a phrase."""
    if change.what == "renamed":
        return f"renamed, was {change.was}"
    if change.what == "not readable":
        return f"its file cannot be read ({change.was}), so it is left out of the comparison"
    return change.what


def keys(change: BikeChange) -> list[str]:
    """Each changed key in words."""
    return [
        f"{key}: changed, and no figure depends on it" if key.key in change.idle else str(key)
        for key in change.keys
    ]


STANDINGS = {
    "added": "Its headline figures, and their places now:",
    "removed": "What goes, and the places until now:",
}


def standing(each: Standing) -> str:
    """Such as `Range, rolling: 71 km, likely 57–80; 9th of 31 bikes, 2nd of 5 “For touring”`."""
    places = [
        f"{ordinal(rank.place)} of {rank.of} " + (f"“{rank.list}”" if rank.list else "bikes")
        for rank in each.places
    ]
    return f"{each.title}: {each.text}" + (f"; {', '.join(places)}" if places else "")


def ordinal(number: int) -> str:
    """Such as `1st` and `12th`."""
    teens = number % 100 in (11, 12, 13)
    return f"{number}{'th' if teens else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"


def stays(moves: Sequence[Move], most: int) -> str:
    """One line on the folded figures: intervals that read otherwise, and a count of the rest."""
    told = [move for move in moves if move.old_text != move.new_text][:most]
    parts = [f"{move.title} {value_of(move.new_text)}, {interval_change(move)}" for move in told]
    left = len(moves) - len(told)
    if not told:
        return f"The shown value and interval stay the same: {left:,} of its figures"
    return "The shown value stays the same: " + "; ".join(
        [*parts, *([f"and {left:,} more"] if left else [])]
    )


def interval_change(each: Move) -> str:
    return _intervals(each.old_text, each.new_text)


def _intervals(old: str, new: str) -> str:
    return f"interval {interval_of(old) or 'none'} → {interval_of(new) or 'none'}"


def percent(move: Move) -> str:
    """Such as `−21 %`; empty where it has no meaning, or where the shown value is the same."""
    if move.change is None or move.same_value:
        return ""
    if abs(move.change) >= 10.0:
        return f"×{1.0 + move.change:.3g}" if move.change > 0.0 else ""
    places = 0 if abs(move.change) >= 0.0995 else 1
    sign = "−" if move.change < 0.0 else "+"
    shown = f"{abs(move.change) * 100:.{places}f}"
    return f"{sign}{shown} %" if float(shown) else "±0 %"


def remarks(move: Move) -> str:
    """Basis and interval, where they changed; empty otherwise."""
    parts = []
    if move.old and move.new and move.old_basis != move.new_basis:
        parts.append(f"{move.old_basis} → {move.new_basis}")
    if move.width is not None and not NARROWER < move.width < WIDER:
        word = "narrower" if move.width < 1.0 else "wider"
        parts.append(f"interval {word}, {move.width:.2g} of what it was")
    return "; ".join(parts)


def from_to(move: Move) -> tuple[str, str]:
    return move.old_text or "not known", move.new_text or "not known"


def live(each: LiveFigure) -> str:
    at = f"{each.file}:{each.line}: {each.bike} {each.figure}"
    if value_of(each.old) == value_of(each.new) and each.old != each.new:
        return f"{at}: {value_of(each.new)}, {_intervals(each.old, each.new)}"
    return f"{at}: {each.old} → {each.new}"


def first(items: Sequence[Item], most: int) -> tuple[Sequence[Item], str]:
    """The first of them, and how many more there are, such as `and 12 more`; empty when none."""
    more = len(items) - most
    return items[:most], f"and {more:,} more" if more > 0 else ""
