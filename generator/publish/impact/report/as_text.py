"""The report as text for the terminal."""

import textwrap
from collections.abc import Iterator, Sequence

from generator.publish.impact.model import FigureMove, Impact, KeyChange
from generator.publish.impact.report import wording, wording_lists

WIDTH = 100
MOST_LINES = 12
"""Most lines of figures for one bike; other kinds get twice as many. The rest is counted."""
SEE_JSON = "--format json tells all"


def format_text(impact: Impact) -> str:
    return "\n".join(
        _replace_controls(part) for line in _report_lines(impact) for part in line.split("\n")
    )


def _replace_controls(words: str) -> str:
    """Replace control characters, since contributors' texts may contain anything."""
    return "".join(sign if sign.isprintable() or sign in "\u00a0\u202f" else "·" for sign in words)


def _report_lines(impact: Impact) -> Iterator[str]:
    """All lines of the report, control characters included."""
    yield wording.format_title(impact)
    rows = wording.summarize_impact(impact)
    width = max(len(label) for label, _ in rows)
    yield from (f"  {label.ljust(width)}  {words}" for label, words in rows)
    yield from _wrap_lines([f"Note: {note}" for note in impact.notes], "", 10)
    yield from _section_lines("Settings, riders, routes and texts", _content_lines(impact.content))
    for bike in wording.group_by_bike(impact):
        yield from _bike_lines(bike)
    yield from _section_lines("Ranks", [swap.sentence for swap in impact.swaps])
    yield from _section_lines("Lists", wording_lists.describe_memberships(impact))
    yield from _section_lines(
        "Figures in texts", [wording.describe_live_figure(each) for each in impact.live]
    )
    yield from _section_lines(
        "Sentences that hold no more",
        [f"{each.file}:{each.line}: {each.text}" for each in impact.sentences],
    )
    yield from _section_lines("Pages added", impact.pages.added)
    yield from _section_lines("Pages gone", impact.pages.gone)
    yield from _section_lines("Pages changed", impact.pages.changed or ())
    yield from _section_lines("New problems", [str(problem) for problem in impact.new_problems])
    yield from _section_lines("Problems gone", [str(problem) for problem in impact.gone_problems])


def _content_lines(changes: Sequence[KeyChange]) -> list[str]:
    return [f"{change.file}: {change}" for change in changes]


def _bike_lines(bike: wording.BikeSection) -> Iterator[str]:
    """The section on one bike."""
    change = bike.change
    yield ""
    yield f"{bike.name} ({bike.slug})" + (
        f": {wording.describe_bike_change(change)}" if change else ""
    )
    if change:
        yield from _wrap_lines(wording.describe_keys(change), "  ", 2 * MOST_LINES)
    if change and change.standings:
        yield f"  {wording.HEADLINE_LEADS[change.what]}"
        listed = [wording.describe_headline_figure(each) for each in change.standings]
        yield from _wrap_lines(listed, "    ", 2 * MOST_LINES)
    left = MOST_LINES
    for causes, mine in wording.group_by_cause(bike.moves):
        if left > 0:
            yield from _wrap_lines([f"Because of {'; '.join(causes)}:"], "  ", 1)
            yield from _wrap_lines([_format_move(move) for move in mine[:left]], "    ", MOST_LINES)
        left -= len(mine)
    if left < 0:
        yield f"    and {-left:,} more figures; {SEE_JSON}"
    if bike.folded_moves:
        yield from _wrap_lines(
            [wording.describe_folded(bike.folded_moves, MOST_LINES // 2)], "  ", 1
        )


def _format_move(move: FigureMove) -> str:
    """Such as `Range: 84 km, likely 74–89 → 66 km, likely 58–71 (−21 %)`."""
    old, new = wording.format_old_and_new(move)
    beside = "; ".join(filter(None, (wording.format_percent(move), wording.describe_remarks(move))))
    return f"{move.title}: {old} → {new}" + (f" ({beside})" if beside else "")


def _section_lines(title: str, lines: Sequence[str]) -> Iterator[str]:
    """A titled section; nothing if there are no lines."""
    if lines:
        yield ""
        yield title
        yield from _wrap_lines(lines, "  ", 2 * MOST_LINES)


def _wrap_lines(lines: Sequence[str], indent: str, most: int) -> Iterator[str]:
    """At most `most` lines, indented and wrapped to `WIDTH`, and a count of the rest."""
    listed, more = wording.take_first(lines, most)
    for line in listed:
        yield textwrap.fill(
            line,
            WIDTH,
            initial_indent=indent,
            subsequent_indent=indent + "  ",
            break_on_hyphens=False,
            break_long_words=False,
        )
    if more:
        yield f"{indent}{more}; {SEE_JSON}"
