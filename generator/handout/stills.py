"""Stills for a video, wide and tall: a chart, the numbers, the code.

Each says what it shows, what it holds for, whose it is, and the publication's notice where it has one.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from generator.charts.drawing import theme
from generator.handout.codes import Code, short
from generator.handout.paper import LANDSCAPE, SMALLEST, Box, Paper, Size, Type, fitted, leading
from generator.handout.still_charts import Drawing
from generator.pages.frame.site_colours import Scheme
from generator.pages.pictures import lettering

GAP = 28
"""Between blocks. [px]"""
NAME = Type((76, 66, 58, 50, 44), 2, "serif")
TITLE = Type((48, 44, 40), 2, "plain", "rubric")
FINDING = Type((40, 36, SMALLEST), 5)
SMALL = Type((SMALLEST,), 4, "plain", "muted")
_SENTENCE = re.compile(r"(?<=[.!?]) (?=[A-Z])")
ADDRESS = 36
"""Size of an address. [px]"""
TALLEST = SMALLEST / theme.TEXT
"""Least scale of a chart, so that its words are large enough."""


@dataclass(frozen=True)
class Frame:
    """What every still of a handout carries."""

    publication: str
    address: str
    notice: str
    scheme: Scheme


@dataclass(frozen=True)
class NumberRow:
    """One figure in large type."""

    value: str
    title: str
    likely: str
    """Interval and basis."""
    condition: str


def blank(frame: Frame, size: Size) -> tuple[Paper, Box]:
    """A still with its foot, and the room that is left above it."""
    paper = Paper(size, frame.scheme)
    room = paper.safe
    top = paper.at_bottom(frame.publication, room, Type((SMALLEST,), 1, "serif"))
    if frame.notice:
        top = paper.at_bottom(frame.notice, room.above(top - 6), SMALL._replace(most=3))
    paper.rule(room.left, room.right, top - 10)
    return paper, room.above(top - 10 - GAP // 2)


def chart_room(frame: Frame, size: Size) -> float:
    """Tallest chart whose words are still large enough. [px of the chart]"""
    _, room = blank(frame, size)
    down = room.down if size == LANDSCAPE else room.down - _tall_words()
    return down / TALLEST


def _tall_words() -> int:
    """Room that a tall still keeps for its words. [px]"""
    lines = ((NAME, 2), (TITLE, 1), (FINDING, 3), (SMALL, 4))
    return sum(leading(style.sizes[-1], style.face) * count for style, count in lines) + 4 * GAP


def chart_still(frame: Frame, size: Size, name: str, drawing: Drawing, condition: str) -> Paper:
    """A chart with its name, its finding and what it holds for."""
    paper, room = blank(frame, size)
    if size == LANDSCAPE:
        across = min(room.across * 0.56, drawing.width * room.down / drawing.height)
        left, right = room.columns(across / room.across, 2 * GAP)
        paper.picture(drawing.svg, drawing.width, drawing.height, left, theme.TEXT)
        _words(paper, right, name, drawing, condition)
        return paper
    top = paper.block(name, room, NAME)
    top = paper.block(drawing.title, room.below(top + GAP // 2), TITLE) + GAP
    plate = room.below(top)
    words = _tall_words() - top + room.top
    needed = ceil(drawing.height * TALLEST)  # large type goes before many words
    plate = plate.above(min(plate.bottom, max(plate.bottom - words, plate.top + needed)))
    _, top = paper.picture(drawing.svg, drawing.width, drawing.height, plate, theme.TEXT)
    _told(paper, room.below(top + GAP), drawing, condition)
    return paper


def _words(paper: Paper, box: Box, name: str, drawing: Drawing, condition: str) -> None:
    top = paper.block(name, box, NAME._replace(most=3))
    top = paper.block(drawing.title, box.below(top + GAP // 2), TITLE)
    _told(paper, box.below(top + GAP), drawing, condition)


def _told(paper: Paper, box: Box, drawing: Drawing, condition: str) -> None:
    """Finding and condition, and how to read the chart if there is room for all of that."""
    kept = len(fitted(condition, box, SMALL)[0]) if condition else 0
    room = box.above(box.bottom - kept * leading(SMALLEST, "plain") - GAP // 2)
    finding = whole_sentences(drawing.finding, room)
    top = paper.block(finding, room, FINDING._replace(most=9)) + GAP // 2
    top = paper.block(condition, box.below(top), SMALL)
    if condition:
        top += GAP // 2
    note = whole_sentences(drawing.note, box.below(top))
    paper.block(note, box.below(top), SMALL._replace(most=99))


def whole_sentences(text: str, box: Box) -> str:
    """As many sentences from the beginning as a box takes whole, in small type."""
    sentences = _SENTENCE.split(text)
    while sentences:
        found = " ".join(sentences)
        lines = lettering.wrapped(found, box.across, SMALLEST, "plain")
        if len(lines) * leading(SMALLEST, "plain") <= box.down:
            return found
        sentences.pop()
    return ""


def numbers_still(frame: Frame, size: Size, name: str, rows: Sequence[NumberRow]) -> Paper:
    """Three to five figures in large type, each with interval, basis and condition."""
    paper, room = blank(frame, size)
    top = paper.block(name, room, NAME._replace(most=1 if size == LANDSCAPE else 2)) + GAP
    each = (room.bottom - top) // max(1, len(rows))
    for place, row in enumerate(rows):
        box = room.below(top + place * each)
        box = box.above(box.top + each - GAP // 2)
        paper.rule(box.left, box.right, box.top)
        _number(paper, box._replace(top=box.top + 10), size, row)
    return paper


def _number(paper: Paper, box: Box, size: Size, row: NumberRow) -> None:
    value, words = box.columns(0.3 if size == LANDSCAPE else 0.44, GAP)
    line = leading(SMALLEST, "plain")
    sizes = [
        each
        for each in (116, 100, 92, 84, 72, 60, 50, 44)
        if leading(each, "serif") + line <= box.down
    ]
    top = paper.block(row.value, value, Type(sizes or [44], 1, "serif", "rubric"))
    paper.block(row.likely, value.below(top), Type((SMALLEST,), 2))
    kept = len(fitted(row.condition, words, SMALL)[0]) if row.condition else 0
    title = words.above(words.bottom - kept * line)
    top = paper.block(row.title, title, Type((44, 40, 36, SMALLEST), 3))
    paper.block(row.condition, words.below(top), SMALL)


def code_still(frame: Frame, size: Size, name: str, words: str, code: Code) -> Paper:
    """The code large, with the address in words beside or beneath it."""
    paper, room = blank(frame, size)
    side = min(room.down, room.across * 0.48) if size == LANDSCAPE else room.across * 0.86
    module = code.fitted(int(side))
    drawn = module * code.side
    if size == LANDSCAPE:
        top = room.top + (room.down - drawn) // 2
        paper.shapes.append(code.group(room.left, top, module))
        box = room._replace(left=room.left + drawn + 3 * GAP)
        box = box.below(room.top + room.down // 5)
    else:
        top = paper.block(name, room, NAME) + GAP
        left = (paper.size.across - drawn) // 2
        paper.shapes.append(code.group(left, top, module))
        box = room.below(top + drawn + GAP)
    if size == LANDSCAPE:
        box = box.below(paper.block(name, box, NAME._replace(most=3)) + GAP)
    box = box.below(paper.block(words, box, FINDING) + GAP)
    for line in address_lines(short(code.text), box.across):
        paper.line(line, box.left, box.top + ADDRESS, ADDRESS, "plain", "ink")
        box = box.below(box.top + leading(ADDRESS, "plain"))
    return paper


def address_lines(address: str, across: int, size: int = ADDRESS) -> list[str]:
    """An address in lines that break after a slash or a comma, or where a part is too long for a line."""
    lines = [""]
    for part in re.findall(r"[^/,]*[/,]|[^/,]+", address):
        pieces = [part]
        while lettering.width(pieces[-1], size, "plain") > across and len(pieces[-1]) > 1:
            room = len(pieces[-1]) * across // lettering.width(pieces[-1], size, "plain")
            pieces[-1:] = [pieces[-1][: max(1, room - 1)], pieces[-1][max(1, room - 1) :]]
        for piece in pieces:
            if lines[-1] and lettering.width(lines[-1] + piece, size, "plain") > across:
                lines.append(piece)
            else:
                lines[-1] += piece
    return lines
