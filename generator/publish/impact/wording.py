"""The report's words, the same for the terminal and for Markdown. Nothing here is escaped."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import TypeVar

from generator.publish.impact.model import (
    NARROWER,
    WIDER,
    BikeChange,
    Impact,
    LiveFigure,
    Membership,
    Move,
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
        words += f"; {len(impact.folded):,} more moved by less than a shown digit"
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


def by_bike(impact: Impact) -> Iterator[tuple[str, str, BikeChange | None, list[Move]]]:
    """Slug, name, change of the file, and the moves that a reader sees, of each bike; headline figures first."""
    changes = {change.slug: change for change in impact.bikes}
    names = {change.slug: change.name for change in impact.bikes}
    moved: dict[str, list[Move]] = {}
    for move in impact.shown:
        moved.setdefault(move.bike, []).append(move)
        names[move.bike] = move.name
    for slug in sorted(names):
        mine = sorted(moved.get(slug, ()), key=lambda move: not move.headline)
        yield slug, names[slug], changes.get(slug), mine


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


def percent(move: Move) -> str:
    """Such as `−21 %`; empty where it has no meaning."""
    if move.change is None:
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


def membership(each: Membership) -> str:
    who = " and ".join(each.members)
    verb = {"entered": ("enters", "enter"), "left": ("leaves", "leave")}[each.what]
    return f"{who} {verb[len(each.members) > 1]}: {each.list}"


def live(each: LiveFigure) -> str:
    return f"{each.file}:{each.line}: {each.bike} {each.figure}: {each.old} → {each.new}"


def first(items: Sequence[Item], most: int) -> tuple[Sequence[Item], str]:
    """The first of them, and how many more there are, such as `and 12 more`; empty when none."""
    more = len(items) - most
    return items[:most], f"and {more:,} more" if more > 0 else ""
