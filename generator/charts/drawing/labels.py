"""Where the names of lines stand, and which points of a line are worth drawing."""

from collections.abc import Sequence
from typing import Any, NamedTuple

from generator.charts.drawing import theme
from generator.charts.rows import Row

HEIGHT = 250
"""Of the plotted ground. [px]"""
ACROSS = theme.WIDTH - 40
"""About the width of the plotted ground. [px]"""
GAP = 19
"""Least distance between two names. [px]"""
LETTER = 7.5
"""About the width of a letter. [px]"""
MOVED = 4
"""A name further than this from its line gets the line's mark beside it. [px]"""
STRAY = 0.35
"""How far a line may pass by a point that is left out. [px]"""


class Paper(NamedTuple):
    """The plotted ground: the names of its two quantities and the values at its edges."""

    x: str
    y: str
    left: float
    right: float
    """Where lines end."""
    edge: float
    """Where the ground ends; names stand between."""
    top: float

    def across(self, value: float) -> float:
        """[px]"""
        return (value - self.left) / ((self.edge - self.left) or 1.0) * ACROSS

    def up(self, value: float) -> float:
        """[px]"""
        return value / self.top * HEIGHT


def by_series(rows: Sequence[Row], key: str = "series") -> dict[Any, list[Row]]:
    """Rows of each series, in the order of the first of each; `key` is what tells them apart."""
    found: dict[Any, list[Row]] = {}
    for row in rows:
        found.setdefault(row[key], []).append(row)
    return found


def named(rows: Sequence[Row], paper: Paper) -> dict[str, list[Row]]:
    """Datasets of marks and names.

    `ends` is a mark at the end of each line, `names` are the names at the edge, `keys` repeat the mark beside a name that
    had to move away from its line or whose line ends upon another, and `within` are the names of lines that end before the edge.
    """
    ends = [
        {paper.x: line[-1][paper.x], paper.y: line[-1][paper.y], "place": line[-1]["place"]}
        for line in by_series(rows).values()
    ]
    free = paper.edge - paper.right
    edge = names_at_edge(rows, paper)
    return {
        "ends": ends,
        "keys": [
            {"mark": paper.right + free * 0.1, "label": row["label"], "place": row["place"]}
            for row in edge
            if abs(paper.up(row["label"] - row[paper.y])) > MOVED or _crowded(row, edge, paper)
        ],
        "names": [
            {
                "words": paper.right + free * 0.18,
                "label": row["label"],
                "series": row["series"],
            }
            for row in edge
        ],
        "within": names_within(rows, paper),
    }


def _crowded(row: Row, edge: Sequence[Row], paper: Paper) -> bool:
    near = [each for each in edge if abs(paper.up(each[paper.y] - row[paper.y])) < 2 * MOVED]
    return len(near) > 1


def names_at_edge(rows: Sequence[Row], paper: Paper) -> list[Row]:
    """The last point of each series that reaches the right edge, with `label`, a height for its name.

    The heights are spread so that no two names meet.
    """
    last = [line[-1] for line in by_series(rows).values() if line[-1][paper.x] == paper.right]
    ordered = sorted(last, key=lambda row: (row[paper.y], str(row["series"])))
    gap = GAP * paper.top / HEIGHT
    heights: list[float] = []
    for row in ordered:
        lowest = heights[-1] + gap if heights else gap / 2
        heights.append(max(row[paper.y], lowest))
    ceiling = paper.top
    for index in reversed(range(len(heights))):
        heights[index] = min(heights[index], ceiling)
        ceiling = heights[index] - gap
    return [
        {**row, "label": round(height, 3)} for row, height in zip(ordered, heights, strict=True)
    ]


def names_within(rows: Sequence[Row], paper: Paper) -> list[Row]:
    """Rows {words, label, series}: names clear of those lines that end before the edge.

    Lines that end in one place share a line of words; names that would meet stand one over the other.
    """
    boxes: list[tuple[float, float, str]] = []  # [px], [px]
    for series, line in by_series(rows).items():
        name = str(series).removeprefix(
            "level "
        )  # there is little room; the note says what a line is
        first, last = line[0], line[-1]
        if last[paper.x] >= paper.right:
            continue
        side = 1 if last[paper.y] >= first[paper.y] else -1
        across, foot = paper.across(last[paper.x]), paper.up(last[paper.y])
        if foot < 1.25 * GAP:
            side = 1  # under the line the name would meet the axis
        up = foot + side * 0.75 * GAP
        same = [at for at, box in enumerate(boxes) if abs(box[0] - across) < 8 and box[1] == up]
        if same:
            boxes[same[0]] = (*boxes[same[0]][:2], f"{boxes[same[0]][2]}, {name}")
            continue
        while any(_meet((across, up, name), box) for box in boxes):
            up += side * GAP
            if up < GAP / 2:
                side, up = 1, foot + 0.75 * GAP
        boxes.append((across, up, name))
    return [
        {
            "words": round(paper.left + across / ACROSS * (paper.edge - paper.left), 3),
            "label": round(up / HEIGHT * paper.top, 3),
            "series": words,
        }
        for across, up, words in boxes
    ]


def _meet(one: tuple[float, float, str], other: tuple[float, float, str]) -> bool:
    wide = LETTER * (len(one[2]) + len(other[2])) / 2 + 6
    return abs(one[0] - other[0]) < wide and abs(one[1] - other[1]) < GAP


def thinned(line: Sequence[Row], paper: Paper, *values: str) -> list[Row]:
    """The line without those points that a straight line between others passes by closely (Douglas and Peucker, 1973)."""
    if len(line) < 3:
        return list(line)
    along = [row[paper.x] for row in line]
    heights = [[row[key] for row in line] for key in values]
    kept = [0]
    ends = [len(line) - 1]
    while ends:
        far, away = _farthest(along, heights, kept[-1], ends[-1], paper.top)
        if away > STRAY:
            ends.append(far)
        else:
            kept.append(ends.pop())
    return [line[at] for at in kept]


def _farthest(
    along: Sequence[float], heights: Sequence[Sequence[float]], first: int, last: int, top: float
) -> tuple[int, float]:
    """Of the points between two others the one that their straight line passes by most widely, and how far. [px]"""
    start, span = along[first], (along[last] - along[first]) or 1.0
    rises = [(height, height[first], height[last] - height[first]) for height in heights]
    far, away = first, -1.0
    for at in range(first + 1, last):
        part = (along[at] - start) / span
        for height, foot, rise in rises:
            by = abs((height[at] - foot - part * rise) / top * HEIGHT)
            if by > away:
                far, away = at, by
    return far, away
