"""The report as a comment on a pull request: a summary on one screen, then a fold for each bike.

Contributors' texts are escaped: they can neither form a table, nor close a fold, nor mention a person or an issue.
"""

import re
from collections.abc import Iterable, Iterator, Sequence

from generator.publish.impact.model import FigureMove, Impact
from generator.publish.impact.report import wording, wording_lists
from generator.specs.english import format_count

MOST_BYTES = 60_000
"""Most bytes of the report in UTF-8. Common hosts take 65,536 characters in a comment. [B]"""
MOST_LINES = 10
"""Most lines of one kind on the first screen."""
LONGEST_TEXT = 300
"""Longest text of a contributor; longer ones are cut. [characters]"""
LONGEST_LINE = 900
"""Longest line on many figures. [characters]"""

_NO_ROOM = (
    "\n…and {:,} more folds that have no room here; `python -m generator impact` with `--format json` "
    "tells all."
)
_SPECIAL = re.compile(r"[&<>\"'`*_\[\]\\|~$#@!{}]")
_LINK = re.compile(r"(?i)(?<=[a-z]):(?=//)|(?<=www)\.|(?<=&#64;)|(?<=&#35;)")
_BREAK = "\N{ZERO WIDTH SPACE}"


def escape_text(words: str, longest: int = LONGEST_TEXT) -> str:
    """Escape a text so that Markdown and HTML print it literally.

    Entities are never markup in CommonMark. An invisible break keeps hosts from turning the text behind the entities
    into links and mentions.
    """
    words = " ".join(words.split())
    if len(words) > longest:
        words = words[: longest - 1] + "…"
    words = "".join(sign if sign.isprintable() else "·" for sign in words)
    words = _SPECIAL.sub(lambda match: f"&#{ord(match[0])};", words)
    return _LINK.sub(lambda match: match[0] + _BREAK, words)


def format_markdown(impact: Impact) -> str:
    """The report in at most `MOST_BYTES` bytes. If there is no room for all folds, those of bikes are left out first."""
    head = "\n".join(_summary_lines(impact))
    bikes = [fold for bike in wording.group_by_bike(impact) for fold in _bike_folds(bike)]
    others = list(_other_folds(impact))
    room = MOST_BYTES - _count_bytes(head) - _count_bytes(_NO_ROOM) - 20
    folds = [*bikes, *others]
    if sum(map(_count_bytes, folds)) > room:
        folds = [*others, *bikes]
    kept = []
    for fold in folds:
        room -= _count_bytes(fold)
        if room < 0:
            break
        kept.append(fold)
    left = len(folds) - len(kept)
    return "\n".join([head, *kept, *([_NO_ROOM.format(left)] if left else [])]) + "\n"


def _count_bytes(text: str) -> int:
    """Size of a text in UTF-8 with the line end that follows. [B]"""
    return len(text.encode()) + 1


def _summary_lines(impact: Impact) -> Iterator[str]:
    """Lines of the first screen."""
    yield f"### {escape_text(wording.format_title(impact))}"
    yield ""
    yield "| | |"
    yield "|---|---|"
    yield from (
        f"| {label} | {escape_text(words)} |" for label, words in wording.summarize_impact(impact)
    )
    yield ""
    yield from (f"> {escape_text(note)}\n" for note in impact.notes)
    yield from _bullet_lines("New problems", [str(problem) for problem in impact.new_problems])
    yield from _bullet_lines(
        "Sentences that hold no more",
        [f"{each.file}:{each.line}: {each.text}" for each in impact.sentences],
    )
    main = [move for move in impact.visible_moves if move.headline]
    if main:
        listed, more = wording.take_first(main, MOST_LINES)
        yield "**Headline figures**"
        yield ""
        yield from _table_lines(listed, bike=True)
        if more:
            yield f"\n{more}"
        yield ""
    yield from _bullet_lines("Ranks", [swap.sentence for swap in impact.swaps])


def _bullet_lines(title: str, lines: Sequence[str], most: int = MOST_LINES) -> Iterator[str]:
    """A title and a list of at most `most` lines; nothing if there are none."""
    if not lines:
        return
    listed, more = wording.take_first(lines, most)
    yield f"**{title}**"
    yield ""
    yield from (f"- {escape_text(line)}" for line in listed)
    if more:
        yield f"- {more}"
    yield ""


def _table_lines(moves: Iterable[FigureMove], *, bike: bool = False) -> Iterator[str]:
    """A table of changed figures, with a column of bikes if `bike` is set."""
    yield ("| Bike " if bike else "") + "| Figure | Before | After | Change | |"
    yield ("|---" if bike else "") + "|---|---|---|---|---|"
    for move in moves:
        old, new = wording.format_old_and_new(move)
        cells = [move.title, old, new, wording.format_percent(move), wording.describe_remarks(move)]
        if bike:
            cells.insert(0, move.name)
        yield f"| {' | '.join(map(escape_text, cells))} |"


def _other_folds(impact: Impact) -> Iterator[str]:
    """All folds except those of bikes. Each is complete in itself, so any of them may be left out."""
    changes = [f"{change.file}: {change}" for change in impact.content]
    yield from _list_fold("Settings, riders, routes and texts", changes)
    yield from _list_fold("Lists", wording_lists.describe_memberships(impact), len(impact.lists))
    yield from _list_fold(
        "Figures in texts", [wording.describe_live_figure(each) for each in impact.live]
    )
    pages = [f"added: {page}" for page in impact.pages.added]
    pages += [f"gone: {page}" for page in impact.pages.gone]
    pages += [f"changed: {page}" for page in impact.pages.changed or ()]
    yield from _list_fold("Pages", pages)
    if len(impact.swaps) > MOST_LINES:
        yield from _list_fold("All ranks", [swap.sentence for swap in impact.swaps])
    yield from _list_fold("Problems gone", [str(problem) for problem in impact.gone_problems])


MOST_IN_FOLD = 60
"""Most lines, and most figures, in one fold."""


def _bike_folds(bike: wording.BikeSection) -> Iterator[str]:
    """The fold of one bike."""
    change, moves = bike.change, bike.moves
    what = f": {wording.describe_bike_change(change)}" if change else ""
    count = f", {format_count(len(moves), 'figure')}" if moves else ""
    lines: list[str] = []
    if change and change.keys:
        listed, more = wording.take_first(wording.describe_keys(change), MOST_IN_FOLD)
        lines += [f"- {escape_text(key)}" for key in listed]
        lines += [f"- {more}"] if more else []
        lines.append("")
    if change and change.standings:
        lines += [wording.HEADLINE_LEADS[change.what], ""]
        lines += [
            f"- {escape_text(wording.describe_headline_figure(each))}" for each in change.standings
        ]
        lines.append("")
    left = MOST_IN_FOLD
    for causes, mine in wording.group_by_cause(moves):
        if left > 0:
            lines += [
                f"Because of {escape_text('; '.join(causes))}:",
                "",
                *_table_lines(mine[:left]),
                "",
            ]
        left -= len(mine)
    if left < 0:
        lines += [f"and {-left:,} more figures", ""]
    if bike.folded_moves:
        lines.append(
            escape_text(wording.describe_folded(bike.folded_moves, MOST_LINES), LONGEST_LINE)
        )
    title = f"{bike.name} ({bike.slug}){what}{count}"
    yield _format_fold(title, lines or ["Nothing else to tell."])


def _list_fold(title: str, words: Sequence[str], count: int | None = None) -> Iterator[str]:
    """A fold that holds a list; nothing for an empty one. `count` is for the title, by default the number of words."""
    if words:
        listed, more = wording.take_first(words, MOST_IN_FOLD)
        lines = [f"- {escape_text(line)}" for line in listed]
        yield _format_fold(
            f"{title}: {count or len(words):,}", [*lines, f"- {more}"] if more else lines
        )


def _format_fold(title: str, lines: list[str]) -> str:
    """A closed section with a title, which must not be escaped yet; the lines must."""
    body = "\n".join(lines)
    return f"<details><summary>{escape_text(title)}</summary>\n\n{body}\n\n</details>\n"
