"""The wording of the report, shared by terminal and Markdown. Nothing here is escaped."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple, TypeVar

from generator.publish.impact.model import (
    NARROWER,
    WIDER,
    BikeChange,
    FigureMove,
    HeadlineFigure,
    Impact,
    LiveFigureChange,
    extract_interval,
    extract_value,
)
from generator.specs.english import format_count

Item = TypeVar("Item")


def format_title(impact: Impact) -> str:
    """The heading of the report."""
    return f"What changes in the guide from {impact.before} to {impact.after}"


def summarize_impact(impact: Impact) -> list[tuple[str, str]]:
    """One row for each kind of change: label, and count in words."""
    clear = sum(swap.clear for swap in impact.swaps)
    ways = Counter(str(each.what) for each in impact.lists)
    gone = len(impact.gone_problems)
    rows = [
        ("Bikes", _format_counts(Counter(str(change.what) for change in impact.bikes))),
        ("Settings, riders, routes and texts", _format_count(len(impact.content), "change")),
        ("Figures that read otherwise", _count_figures(impact)),
        ("Bases", _format_count(len(impact.basis_changes), "figure rests on another basis", "figures rest on another basis")),
        ("Intervals", _count_widths(impact)),
        ("Ranks swapped", f"{len(impact.swaps)}, of which {clear} clear" if impact.swaps else "none"),
        ("Lists", _format_counts(ways)),
        ("Live figures in texts", _format_count(len(impact.live), "reads otherwise", "read otherwise")),
        ("Sentences", _format_count(len(impact.sentences), "holds no more", "hold no more")),
        ("Pages", _count_pages(impact)),
        ("Problems", f"{len(impact.new_problems)} new, {gone} gone" if gone or impact.new_problems else "none new"),
    ]  # fmt: skip
    return rows


def _count_figures(impact: Impact) -> str:
    words = f"{len(impact.visible_moves):,}" if impact.visible_moves else "none"
    if impact.folded_moves:
        words += f"; {len(impact.folded_moves):,} more moved and show the same value"
    return words


def _count_widths(impact: Impact) -> str:
    wider = sum((move.width or 1.0) > 1.0 for move in impact.width_changes)
    narrower = len(impact.width_changes) - wider
    if not impact.width_changes:
        return "none notably narrower or wider"
    return f"{narrower} notably narrower, {wider} notably wider"


def _count_pages(impact: Impact) -> str:
    pages = impact.pages
    words = f"{len(pages.added)} added, {len(pages.gone)} gone"
    return words if pages.changed is None else f"{words}, {len(pages.changed)} changed"


def _format_counts(counts: Counter[str]) -> str:
    """Such as `2 added, 1 changed`."""
    return ", ".join(f"{count} {what}" for what, count in sorted(counts.items())) or "none"


def _format_count(count: int, one: str, many: str = "") -> str:
    return format_count(count, one, many) if count else "none"


class BikeSection(NamedTuple):
    """All that the report says of one bike."""

    slug: str
    name: str
    change: BikeChange | None
    """Change of its spec file."""
    moves: list[FigureMove]
    """Figures whose shown value or basis changed; headline figures first."""
    folded_moves: list[FigureMove]
    """Other changed figures: those whose shown interval differs first, headline figures first among each."""


def group_by_bike(impact: Impact) -> Iterator[BikeSection]:
    """Every bike whose file changed or of which a figure or interval reads differently, by slug."""
    changes = {change.slug: change for change in impact.bikes}
    names = {change.slug: change.name for change in impact.bikes}
    names |= {m.bike: m.name for m in impact.moves if m.is_visible or m.old_text != m.new_text}
    moved: dict[str, list[FigureMove]] = {}
    for move in impact.moves:
        moved.setdefault(move.bike, []).append(move)
    for slug in sorted(names):
        mine = sorted(moved.get(slug, ()), key=lambda move: not move.headline)
        folded = [move for move in mine if not move.is_visible]
        folded.sort(key=lambda move: move.old_text == move.new_text)
        shown = [move for move in mine if move.is_visible]
        yield BikeSection(slug, names[slug], changes.get(slug), shown, folded)


def group_by_cause(moves: Iterable[FigureMove]) -> list[tuple[tuple[str, ...], list[FigureMove]]]:
    """Moves grouped by equal causes, in their order."""
    found: dict[tuple[str, ...], list[FigureMove]] = {}
    for move in moves:
        found.setdefault(move.why, []).append(move)
    return list(found.items())


def describe_bike_change(change: BikeChange) -> str:
    """What happened to a bike, in a phrase."""
    if change.what == "renamed":
        return f"renamed, was {change.was}"
    if change.what == "not readable":
        return f"its file cannot be read ({change.was}), so it is left out of the comparison"
    return change.what


def describe_keys(change: BikeChange) -> list[str]:
    """Each changed key in words."""
    return [
        f"{key}: changed, and no figure depends on it" if key.key in change.idle else str(key)
        for key in change.keys
    ]


HEADLINE_LEADS = {
    "added": "Its headline figures, and their places now:",
    "removed": "What goes, and the places until now:",
}


def describe_headline_figure(each: HeadlineFigure) -> str:
    """Such as `Range, rolling: 71 km, likely 57–80; 9th of 31 bikes, 2nd of 5 “For touring”`."""
    places = [
        f"{format_ordinal(rank.place)} of {rank.of} " + (f"“{rank.list}”" if rank.list else "bikes")
        for rank in each.places
    ]
    return f"{each.title}: {each.text}" + (f"; {', '.join(places)}" if places else "")


def format_ordinal(number: int) -> str:
    """Such as `1st` and `12th`."""
    teens = number % 100 in (11, 12, 13)
    return f"{number}{'th' if teens else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"


def describe_folded(moves: Sequence[FigureMove], most: int) -> str:
    """One line on folded figures: up to `most` intervals that read differently, and a count of the rest."""
    listed = [move for move in moves if move.old_text != move.new_text][:most]
    parts = [
        f"{move.title} {extract_value(move.new_text)}, {describe_interval_change(move)}"
        for move in listed
    ]
    left = len(moves) - len(listed)
    if not listed:
        return f"The shown value and interval stay the same: {left:,} of its figures"
    return "The shown value stays the same: " + "; ".join(
        [*parts, *([f"and {left:,} more"] if left else [])]
    )


def describe_interval_change(each: FigureMove) -> str:
    """Such as `interval 36–52 → 40–52`."""
    return _format_intervals(each.old_text, each.new_text)


def _format_intervals(old: str, new: str) -> str:
    return f"interval {extract_interval(old) or 'none'} → {extract_interval(new) or 'none'}"


def format_percent(move: FigureMove) -> str:
    """Such as `−21 %`; empty if it has no meaning or the shown value is the same."""
    if move.change is None or move.has_same_value:
        return ""
    if abs(move.change) >= 10.0:
        return f"×{1.0 + move.change:.3g}" if move.change > 0.0 else ""
    places = 0 if abs(move.change) >= 0.0995 else 1
    sign = "−" if move.change < 0.0 else "+"
    shown = f"{abs(move.change) * 100:.{places}f}"
    return f"{sign}{shown} %" if float(shown) else "±0 %"


def describe_remarks(move: FigureMove) -> str:
    """Changes of basis and of the interval's width in words; empty if there are none."""
    parts = []
    if move.old and move.new and move.old_basis != move.new_basis:
        parts.append(f"{move.old_basis} → {move.new_basis}")
    if move.width is not None and not NARROWER < move.width < WIDER:
        word = "narrower" if move.width < 1.0 else "wider"
        parts.append(f"interval {word}, {move.width:.2g} of what it was")
    return "; ".join(parts)


def format_old_and_new(move: FigureMove) -> tuple[str, str]:
    """The figure as shown before and after."""
    return move.old_text or "not known", move.new_text or "not known"


def describe_live_figure(each: LiveFigureChange) -> str:
    """Such as `content/guides/two.md:6: pellimor-fenno range.rolling: 84 km → 66 km`."""
    at = f"{each.file}:{each.line}: {each.bike} {each.figure}"
    if extract_value(each.old) == extract_value(each.new) and each.old != each.new:
        return f"{at}: {extract_value(each.new)}, {_format_intervals(each.old, each.new)}"
    return f"{at}: {each.old} → {each.new}"


def take_first(items: Sequence[Item], most: int) -> tuple[Sequence[Item], str]:
    """The first `most` items, and a phrase on how many more there are, such as `and 12 more`; empty if none."""
    more = len(items) - most
    return items[:most], f"and {more:,} more" if more > 0 else ""
