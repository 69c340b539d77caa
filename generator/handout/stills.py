"""Stills for a video, wide and tall: a chart, the numbers, the QR code.

Each has a title, the conditions, the publication's name, and its notice if it has one.

* start_still          a still with its foot only
* draw_chart_still     a chart or diagram
* draw_numbers_still   a few figures in large type
* draw_code_still      the QR code
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from generator.charts.drawing import theme
from generator.handout.codes import QrCode, shorten_address
from generator.handout.paper import (
    LANDSCAPE,
    SMALLEST,
    Box,
    PictureSize,
    StillCanvas,
    TextStyle,
    fit_lines,
    leading,
)
from generator.handout.still_charts import StillDrawing
from generator.pages.frame.site_colours import ColourScheme
from generator.pages.pictures import lettering

GAP = 28
"""Space between blocks. [px]"""
NAME = TextStyle((76, 66, 58, 50, 44), 2, "serif")
TITLE = TextStyle((48, 44, 40), 2, "plain", "rubric")
FINDING = TextStyle((40, 36, SMALLEST), 5)
SMALL = TextStyle((SMALLEST,), 4, "plain", "muted")
_SENTENCE = re.compile(r"(?<=[.!?]) (?=[A-Z])")
ADDRESS = 36
"""Type size of an address. [px]"""
TALLEST = SMALLEST / theme.TEXT
"""Least scale of a chart at which its words are large enough."""


@dataclass(frozen=True)
class StillFrame:
    """What all stills of a handout share."""

    publication: str
    address: str
    notice: str
    scheme: ColourScheme


@dataclass(frozen=True)
class NumberRow:
    """One figure in large type."""

    value: str
    title: str
    likely: str
    """Its interval and basis."""
    condition: str


def start_still(frame: StillFrame, size: PictureSize) -> tuple[StillCanvas, Box]:
    """A still with its foot, and the room left above it."""
    canvas = StillCanvas(size, frame.scheme)
    room = canvas.safe
    top = canvas.set_at_bottom(frame.publication, room, TextStyle((SMALLEST,), 1, "serif"))
    if frame.notice:
        top = canvas.set_at_bottom(frame.notice, room.above(top - 6), SMALL._replace(most=3))
    canvas.draw_rule(room.left, room.right, top - 10)
    return canvas, room.above(top - 10 - GAP // 2)


def find_chart_room(frame: StillFrame, size: PictureSize) -> float:
    """Height of the tallest chart whose words are large enough. [px of the chart]"""
    _, room = start_still(frame, size)
    down = room.down if size == LANDSCAPE else room.down - _find_words_room()
    return down / TALLEST


def _find_words_room() -> int:
    """Height that a tall still reserves for words. [px]"""
    lines = ((NAME, 2), (TITLE, 1), (FINDING, 3), (SMALL, 4))
    return sum(leading(style.sizes[-1], style.face) * count for style, count in lines) + 4 * GAP


def draw_chart_still(
    frame: StillFrame, size: PictureSize, name: str, drawing: StillDrawing, condition: str
) -> StillCanvas:
    """A chart with its name, its finding and its conditions."""
    canvas, room = start_still(frame, size)
    if size == LANDSCAPE:
        across = min(room.across * 0.56, drawing.width * room.down / drawing.height)
        left, right = room.split_columns(across / room.across, 2 * GAP)
        canvas.place_drawing(drawing.svg, drawing.width, drawing.height, left, theme.TEXT)
        _set_chart_words(canvas, right, name, drawing, condition)
        return canvas
    top = canvas.set_block(name, room, NAME)
    top = canvas.set_block(drawing.title, room.below(top + GAP // 2), TITLE) + GAP
    plate = room.below(top)
    words = _find_words_room() - top + room.top
    needed = ceil(drawing.height * TALLEST)  # large type goes before many words
    plate = plate.above(min(plate.bottom, max(plate.bottom - words, plate.top + needed)))
    _, top = canvas.place_drawing(drawing.svg, drawing.width, drawing.height, plate, theme.TEXT)
    _set_finding(canvas, room.below(top + GAP), drawing, condition)
    return canvas


def _set_chart_words(
    canvas: StillCanvas, box: Box, name: str, drawing: StillDrawing, condition: str
) -> None:
    top = canvas.set_block(name, box, NAME._replace(most=3))
    top = canvas.set_block(drawing.title, box.below(top + GAP // 2), TITLE)
    _set_finding(canvas, box.below(top + GAP), drawing, condition)


def _set_finding(canvas: StillCanvas, box: Box, drawing: StillDrawing, condition: str) -> None:
    """Sets finding and condition, and as much as fits of how to read the chart."""
    kept = len(fit_lines(condition, box, SMALL)[0]) if condition else 0
    room = box.above(box.bottom - kept * leading(SMALLEST, "plain") - GAP // 2)
    finding = fit_sentences(drawing.finding, room)
    top = canvas.set_block(finding, room, FINDING._replace(most=9)) + GAP // 2
    top = canvas.set_block(condition, box.below(top), SMALL)
    if condition:
        top += GAP // 2
    note = fit_sentences(drawing.note, box.below(top))
    canvas.set_block(note, box.below(top), SMALL._replace(most=99))


def fit_sentences(text: str, box: Box) -> str:
    """As many whole sentences from the beginning as fit into a box in small type."""
    sentences = _SENTENCE.split(text)
    while sentences:
        found = " ".join(sentences)
        lines = lettering.wrap_text(found, box.across, SMALLEST, "plain")
        if len(lines) * leading(SMALLEST, "plain") <= box.down:
            return found
        sentences.pop()
    return ""


def draw_numbers_still(
    frame: StillFrame, size: PictureSize, name: str, rows: Sequence[NumberRow]
) -> StillCanvas:
    """A few figures in large type, each with interval, basis and condition."""
    canvas, room = start_still(frame, size)
    top = canvas.set_block(name, room, NAME._replace(most=1 if size == LANDSCAPE else 2)) + GAP
    each = (room.bottom - top) // max(1, len(rows))
    for place, row in enumerate(rows):
        box = room.below(top + place * each)
        box = box.above(box.top + each - GAP // 2)
        canvas.draw_rule(box.left, box.right, box.top)
        _draw_number(canvas, box._replace(top=box.top + 10), size, row)
    return canvas


def _draw_number(canvas: StillCanvas, box: Box, size: PictureSize, row: NumberRow) -> None:
    value, words = box.split_columns(0.3 if size == LANDSCAPE else 0.44, GAP)
    line = leading(SMALLEST, "plain")
    sizes = [
        each
        for each in (116, 100, 92, 84, 72, 60, 50, 44)
        if leading(each, "serif") + line <= box.down
    ]
    top = canvas.set_block(row.value, value, TextStyle(sizes or [44], 1, "serif", "rubric"))
    canvas.set_block(row.likely, value.below(top), TextStyle((SMALLEST,), 2))
    kept = len(fit_lines(row.condition, words, SMALL)[0]) if row.condition else 0
    title = words.above(words.bottom - kept * line)
    top = canvas.set_block(row.title, title, TextStyle((44, 40, 36, SMALLEST), 3))
    canvas.set_block(row.condition, words.below(top), SMALL)


def draw_code_still(
    frame: StillFrame, size: PictureSize, name: str, words: str, code: QrCode
) -> StillCanvas:
    """The QR code in large, with the address in words beside or below it."""
    canvas, room = start_still(frame, size)
    side = min(room.down, room.across * 0.48) if size == LANDSCAPE else room.across * 0.86
    module = code.fit_module(int(side))
    drawn = module * code.side
    if size == LANDSCAPE:
        top = room.top + (room.down - drawn) // 2
        canvas.shapes.append(code.draw_group(room.left, top, module))
        box = room._replace(left=room.left + drawn + 3 * GAP)
        box = box.below(room.top + room.down // 5)
    else:
        top = canvas.set_block(name, room, NAME) + GAP
        left = (canvas.size.across - drawn) // 2
        canvas.shapes.append(code.draw_group(left, top, module))
        box = room.below(top + drawn + GAP)
    if size == LANDSCAPE:
        box = box.below(canvas.set_block(name, box, NAME._replace(most=3)) + GAP)
    box = box.below(canvas.set_block(words, box, FINDING) + GAP)
    for line in break_address(shorten_address(code.text), box.across):
        canvas.set_line(line, box.left, box.top + ADDRESS, ADDRESS, "plain", "ink")
        box = box.below(box.top + leading(ADDRESS, "plain"))
    return canvas


def break_address(address: str, across: int, size: int = ADDRESS) -> list[str]:
    """An address in lines, broken after a slash or a comma, or within a part too long for a line."""
    lines = [""]
    for part in re.findall(r"[^/,]*[/,]|[^/,]+", address):
        pieces = [part]
        while lettering.measure_width(pieces[-1], size, "plain") > across and len(pieces[-1]) > 1:
            room = len(pieces[-1]) * across // lettering.measure_width(pieces[-1], size, "plain")
            pieces[-1:] = [pieces[-1][: max(1, room - 1)], pieces[-1][max(1, room - 1) :]]
        for piece in pieces:
            if lines[-1] and lettering.measure_width(lines[-1] + piece, size, "plain") > across:
                lines.append(piece)
            else:
                lines[-1] += piece
    return lines
