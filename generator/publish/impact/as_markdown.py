"""The report as a comment on a pull request: the summary on one screen, then a fold for each bike.

Whatever a contributor wrote is escaped: it can neither draw a table, nor close a fold, nor call a person or an issue.
"""

import re
from collections.abc import Iterable, Iterator, Sequence

from generator.publish.impact import wording, wording_lists
from generator.publish.impact.model import Impact, Move
from generator.publish.report import plural

LONGEST = 60_000
"""Bytes in UTF-8, and so characters too. Common hosts take 65,536 characters in a comment."""
MOST_LINES = 10
"""Of a sort on the first screen."""
LONGEST_TEXT = 300
"""Of one contributor's text. [characters]"""
LONGEST_LINE = 900
"""Of a line on many figures. [characters]"""

_NO_ROOM = (
    "\n…and {:,} more folds that have no room here; `python -m generator impact` with `--format json` "
    "tells all."
)
_SPECIAL = re.compile(r"[&<>\"'`*_\[\]\\|~$#@!{}]")
_LINK = re.compile(r"(?i)(?<=[a-z]):(?=//)|(?<=www)\.|(?<=&#64;)|(?<=&#35;)")
_BREAK = "\N{ZERO WIDTH SPACE}"


def safe(words: str, longest: int = LONGEST_TEXT) -> str:
    """A text that Markdown and HTML print as it is.

    Entities are text in CommonMark and never markup; the invisible break keeps hosts from making links and mentions of
    what stands there once the entities are read.
    """
    words = " ".join(words.split())
    if len(words) > longest:
        words = words[: longest - 1] + "…"
    words = "".join(sign if sign.isprintable() else "·" for sign in words)
    words = _SPECIAL.sub(lambda match: f"&#{ord(match[0])};", words)
    return _LINK.sub(lambda match: match[0] + _BREAK, words)


def as_markdown(impact: Impact) -> str:
    """At most LONGEST bytes. What has no room is counted, and then it is the folds of bikes that go first."""
    head = "\n".join(_head(impact))
    bikes = [fold for bike in wording.by_bike(impact) for fold in _bike(bike)]
    others = list(_others(impact))
    room = LONGEST - _size(head) - _size(_NO_ROOM) - 20
    folds = [*bikes, *others]
    if sum(map(_size, folds)) > room:
        folds = [*others, *bikes]
    kept = []
    for fold in folds:
        room -= _size(fold)
        if room < 0:
            break
        kept.append(fold)
    left = len(folds) - len(kept)
    return "\n".join([head, *kept, *([_NO_ROOM.format(left)] if left else [])]) + "\n"


def _size(text: str) -> int:
    """With the line end that follows. [bytes]"""
    return len(text.encode()) + 1


def _head(impact: Impact) -> Iterator[str]:
    yield f"### {safe(wording.title(impact))}"
    yield ""
    yield "| | |"
    yield "|---|---|"
    yield from (f"| {label} | {safe(words)} |" for label, words in wording.summary(impact))
    yield ""
    yield from (f"> {safe(note)}\n" for note in impact.notes)
    yield from _bullets("New problems", [str(problem) for problem in impact.new_problems])
    yield from _bullets(
        "Sentences that hold no more",
        [f"{each.file}:{each.line}: {each.text}" for each in impact.sentences],
    )
    main = [move for move in impact.shown if move.headline]
    if main:
        told, more = wording.first(main, MOST_LINES)
        yield "**Headline figures**"
        yield ""
        yield from _table(told, bike=True)
        if more:
            yield f"\n{more}"
        yield ""
    yield from _bullets("Ranks", [swap.sentence for swap in impact.swaps])


def _bullets(title: str, lines: Sequence[str], most: int = MOST_LINES) -> Iterator[str]:
    if not lines:
        return
    told, more = wording.first(lines, most)
    yield f"**{title}**"
    yield ""
    yield from (f"- {safe(line)}" for line in told)
    if more:
        yield f"- {more}"
    yield ""


def _table(moves: Iterable[Move], *, bike: bool = False) -> Iterator[str]:
    yield ("| Bike " if bike else "") + "| Figure | Before | After | Change | |"
    yield ("|---" if bike else "") + "|---|---|---|---|---|"
    for move in moves:
        old, new = wording.from_to(move)
        cells = [move.title, old, new, wording.percent(move), wording.remarks(move)]
        if bike:
            cells.insert(0, move.name)
        yield f"| {' | '.join(map(safe, cells))} |"


def _others(impact: Impact) -> Iterator[str]:
    """All folds but those of bikes. Each is whole in itself, so that any number of them may be kept."""
    changes = [f"{change.file}: {change}" for change in impact.content]
    yield from _fold_of("Settings, riders, routes and texts", changes)
    yield from _fold_of("Lists", wording_lists.memberships(impact), len(impact.lists))
    yield from _fold_of("Figures in texts", [wording.live(each) for each in impact.live])
    pages = [f"added: {page}" for page in impact.pages.added]
    pages += [f"gone: {page}" for page in impact.pages.gone]
    pages += [f"changed: {page}" for page in impact.pages.changed or ()]
    yield from _fold_of("Pages", pages)
    if len(impact.swaps) > MOST_LINES:
        yield from _fold_of("All ranks", [swap.sentence for swap in impact.swaps])
    yield from _fold_of("Problems gone", [str(problem) for problem in impact.gone_problems])


MOST_IN_FOLD = 60
"""Lines or figures in one fold."""


def _bike(bike: wording.OfBike) -> Iterator[str]:
    change, moves = bike.change, bike.moves
    what = f": {wording.happened(change)}" if change else ""
    count = f", {plural(len(moves), 'figure')}" if moves else ""
    lines: list[str] = []
    if change and change.keys:
        told, more = wording.first(wording.keys(change), MOST_IN_FOLD)
        lines += [f"- {safe(key)}" for key in told]
        lines += [f"- {more}"] if more else []
        lines.append("")
    if change and change.standings:
        lines += [wording.STANDINGS[change.what], ""]
        lines += [f"- {safe(wording.standing(each))}" for each in change.standings]
        lines.append("")
    left = MOST_IN_FOLD
    for causes, mine in wording.by_cause(moves):
        if left > 0:
            lines += [f"Because of {safe('; '.join(causes))}:", "", *_table(mine[:left]), ""]
        left -= len(mine)
    if left < 0:
        lines += [f"and {-left:,} more figures", ""]
    if bike.folded:
        lines.append(safe(wording.stays(bike.folded, MOST_LINES), LONGEST_LINE))
    title = f"{bike.name} ({bike.slug}){what}{count}"
    yield _fold(title, lines or ["Nothing else to tell."])


def _fold_of(title: str, words: Sequence[str], count: int | None = None) -> Iterator[str]:
    if words:
        told, more = wording.first(words, MOST_IN_FOLD)
        lines = [f"- {safe(line)}" for line in told]
        yield _fold(f"{title}: {count or len(words):,}", [*lines, f"- {more}"] if more else lines)


def _fold(title: str, lines: list[str]) -> str:
    body = "\n".join(lines)
    return f"<details><summary>{safe(title)}</summary>\n\n{body}\n\n</details>\n"
