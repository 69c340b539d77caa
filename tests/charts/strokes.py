"""Lines, marks and words of an SVG with their places, read back from its text."""

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from xml.etree import ElementTree

from generator.charts.drawing import theme

Point = tuple[float, float]
_TOKEN = re.compile(r"[A-Za-z]|-?(?:\d+\.?\d*|\.\d+)(?:e-?\d+)?")
_TAKES = {"m": 2, "l": 2, "h": 1, "v": 1, "a": 7, "z": 0}
"""Count of numbers after each command of a path. SVG 1.1, 8.3."""


@dataclass
class Strokes:
    lines: dict[str, list[Point]] = field(default_factory=dict)
    """Points of the line of each series, by colour. [px]"""
    fills: dict[str, list[list[Point]]] = field(default_factory=dict)
    """Corners of each filled shape (bands, marks and bars), by colour. [px]"""
    words: list[tuple[str, float, float]] = field(default_factory=list)
    rules: list[tuple[Point, Point]] = field(default_factory=list)
    """Strokes in ink: intervals of bars."""


def read(svg: str, origin: Point) -> Strokes:
    """The strokes of an SVG, with coordinates from the upper left corner of the plot area, which lies at `origin`."""
    found = Strokes()
    for element, at in _placed(ElementTree.fromstring(svg), (-origin[0], -origin[1])):
        tag = element.tag.rpartition("}")[2]
        fill, stroke = element.get("fill"), element.get("stroke")
        if tag == "text" and element.text:
            x, y = float(element.get("x", 0)), float(element.get("y", 0))
            found.words.append((element.text, at[0] + x, at[1] + y))
        elif tag == "line" and stroke == theme.INK:
            end = float(element.get("x2", 0)), float(element.get("y2", 0))
            found.rules.append((at, (at[0] + end[0], at[1] + end[1])))
        elif tag == "path":
            for part in parts(element.get("d", "")):
                moved = [(x + at[0], y + at[1]) for x, y in part]
                if stroke == theme.INK and element.get("stroke-width") == "1.5":
                    found.rules.append((moved[0], moved[-1]))
                elif stroke in theme.SERIES and element.get("stroke-width") == "2":
                    found.lines[stroke] = moved
                elif fill in theme.SERIES and len(moved) > 1:
                    found.fills.setdefault(fill, []).append(moved)
    return found


def _placed(element: ElementTree.Element, at: Point) -> Iterator[tuple[ElementTree.Element, Point]]:
    for x, y in re.findall(r"translate\(([-\d.e]+),([-\d.e]+)\)", element.get("transform", "")):
        at = at[0] + float(x), at[1] + float(y)
    yield element, at
    for child in element:
        yield from _placed(child, at)


def parts(path: str) -> list[list[Point]]:
    """Points of a path, one list for each subpath; an arc gives its end only."""
    tokens = _TOKEN.findall(path)
    found: list[list[Point]] = []
    x, y, place, command = 0.0, 0.0, 0, ""
    while place < len(tokens):
        if tokens[place].isalpha():
            command, place = tokens[place], place + 1
        kind, count = command.lower(), _TAKES[command.lower()]
        numbers = [float(token) for token in tokens[place : place + count]]
        place += count
        across, down = command.islower() * x, command.islower() * y
        if kind == "h":
            x = across + numbers[0]
        elif kind == "v":
            y = down + numbers[0]
        elif kind != "z":
            x, y = across + numbers[-2], down + numbers[-1]
        if kind == "m":
            found.append([(x, y)])
        elif kind != "z":
            found[-1].append((x, y))
    return found


def middle(corners: Sequence[Point]) -> Point:
    """Centre of the box around a shape."""
    xs, ys = zip(*corners, strict=True)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def middle_height(corners: Sequence[Point]) -> float:
    return middle(corners)[1]


def away(point: Point, line: Sequence[Point]) -> float:
    """Distance of a point from a line of straight pieces. [px]"""
    return min(_from_piece(point, *piece) for piece in pairwise(line))


def _from_piece(point: Point, one: Point, other: Point) -> float:
    along = other[0] - one[0], other[1] - one[1]
    square = along[0] ** 2 + along[1] ** 2
    part = ((point[0] - one[0]) * along[0] + (point[1] - one[1]) * along[1]) / (square or 1.0)
    part = min(1.0, max(0.0, part))
    return math.dist(point, (one[0] + part * along[0], one[1] + part * along[1]))
