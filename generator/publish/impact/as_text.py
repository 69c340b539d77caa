"""The report for the terminal."""

import textwrap
from collections.abc import Iterator, Sequence

from generator.publish.impact import wording, wording_lists
from generator.publish.impact.model import Impact, KeyChange, Move

WIDTH = 100
MOST = 12
"""Lines of one sort told of one bike, and twice as many of other sorts; the rest is counted."""
ALL_TOLD = "--format json tells all"


def as_text(impact: Impact) -> str:
    return "\n".join(_plain(part) for line in _lines(impact) for part in line.split("\n"))


def _plain(words: str) -> str:
    """Without what could steer a terminal: a contributor's text may hold anything."""
    return "".join(sign if sign.isprintable() or sign in "\u00a0\u202f" else "·" for sign in words)


def _lines(impact: Impact) -> Iterator[str]:
    yield wording.title(impact)
    rows = wording.summary(impact)
    width = max(len(label) for label, _ in rows)
    yield from (f"  {label.ljust(width)}  {words}" for label, words in rows)
    yield from _wrapped([f"Note: {note}" for note in impact.notes], "", 10)
    yield from _listed("Settings, riders, routes and texts", _content(impact.content))
    for bike in wording.by_bike(impact):
        yield from _bike(bike)
    yield from _listed("Ranks", [swap.sentence for swap in impact.swaps])
    yield from _listed("Lists", wording_lists.memberships(impact))
    yield from _listed("Figures in texts", [wording.live(each) for each in impact.live])
    yield from _listed(
        "Sentences that hold no more",
        [f"{each.file}:{each.line}: {each.text}" for each in impact.sentences],
    )
    yield from _listed("Pages added", impact.pages.added)
    yield from _listed("Pages gone", impact.pages.gone)
    yield from _listed("Pages changed", impact.pages.changed or ())
    yield from _listed("New problems", [str(problem) for problem in impact.new_problems])
    yield from _listed("Problems gone", [str(problem) for problem in impact.gone_problems])


def _content(changes: Sequence[KeyChange]) -> list[str]:
    return [f"{change.file}: {change}" for change in changes]


def _bike(bike: wording.OfBike) -> Iterator[str]:
    change = bike.change
    yield ""
    yield f"{bike.name} ({bike.slug})" + (f": {wording.happened(change)}" if change else "")
    if change:
        yield from _wrapped(wording.keys(change), "  ", 2 * MOST)
    if change and change.standings:
        yield f"  {wording.STANDINGS[change.what]}"
        told = [wording.standing(each) for each in change.standings]
        yield from _wrapped(told, "    ", 2 * MOST)
    left = MOST
    for causes, mine in wording.by_cause(bike.moves):
        if left > 0:
            yield from _wrapped([f"Because of {'; '.join(causes)}:"], "  ", 1)
            yield from _wrapped([_move(move) for move in mine[:left]], "    ", MOST)
        left -= len(mine)
    if left < 0:
        yield f"    and {-left:,} more figures; {ALL_TOLD}"
    if bike.folded:
        yield from _wrapped([wording.stays(bike.folded, MOST // 2)], "  ", 1)


def _move(move: Move) -> str:
    old, new = wording.from_to(move)
    beside = "; ".join(filter(None, (wording.percent(move), wording.remarks(move))))
    return f"{move.title}: {old} → {new}" + (f" ({beside})" if beside else "")


def _listed(title: str, lines: Sequence[str]) -> Iterator[str]:
    if lines:
        yield ""
        yield title
        yield from _wrapped(lines, "  ", 2 * MOST)


def _wrapped(lines: Sequence[str], indent: str, most: int) -> Iterator[str]:
    told, more = wording.first(lines, most)
    for line in told:
        yield textwrap.fill(
            line,
            WIDTH,
            initial_indent=indent,
            subsequent_indent=indent + "  ",
            break_on_hyphens=False,
            break_long_words=False,
        )
    if more:
        yield f"{indent}{more}; {ALL_TOLD}"
