"""Places for the names of lines, and the points of a line that are worth drawing."""

from collections.abc import Sequence
from typing import Any, NamedTuple

from generator.charts.drawing import theme
from generator.charts.rows import ChartRow

HEIGHT = 250
"""Height of the plot area. [px]"""
ACROSS = theme.WIDTH - 40
"""About the width of the plot area. [px]"""
GAP = 19
"""Least distance between two names. [px]"""
LETTER = 7.5
"""About the width of a letter. [px]"""
MOVED = 4
"""Distance from its line beyond which a name gets the line's mark beside it. [px]"""
STRAY = 0.35
"""Largest distance between a line and a point that is left out. [px]"""


class PlotArea(NamedTuple):
    """The plot area: the keys of its two quantities and the values at its edges."""

    x: str
    y: str
    left: float
    right: float
    """Value on x where the lines end."""
    edge: float
    """Value on x where the plot area ends, after the names."""
    top: float

    def x_to_px(self, value: float) -> float:
        """Distance of a value on x from the left edge. [px]"""
        return (value - self.left) / ((self.edge - self.left) or 1.0) * ACROSS

    def y_to_px(self, value: float) -> float:
        """Height of a value on y above the floor. [px]"""
        return value / self.top * HEIGHT


def group_by_series(rows: Sequence[ChartRow], key: str = "series") -> dict[Any, list[ChartRow]]:
    """Rows by series, in the order of the first row of each; `key` names the value that holds the series."""
    found: dict[Any, list[ChartRow]] = {}
    for row in rows:
        found.setdefault(row[key], []).append(row)
    return found


def place_names(rows: Sequence[ChartRow], plot_area: PlotArea) -> dict[str, list[ChartRow]]:
    """Datasets of marks and names.

    `ends` are marks at the ends of lines, `names` the names at the edge, `keys` marks repeated beside a name that had to
    move away from its line or whose line ends on another, and `within` the names of lines that end before the edge.
    """
    ends = [
        {
            plot_area.x: line[-1][plot_area.x],
            plot_area.y: line[-1][plot_area.y],
            "place": line[-1]["place"],
        }
        for line in group_by_series(rows).values()
    ]
    free = plot_area.edge - plot_area.right
    edge = place_names_at_edge(rows, plot_area)
    return {
        "ends": ends,
        "keys": [
            {"mark": plot_area.right + free * 0.1, "label": row["label"], "place": row["place"]}
            for row in edge
            if abs(plot_area.y_to_px(row["label"] - row[plot_area.y])) > MOVED
            or _is_crowded(row, edge, plot_area)
        ],
        "names": [
            {
                "words": plot_area.right + free * 0.18,
                "label": row["label"],
                "series": row["series"],
            }
            for row in edge
        ],
        "within": place_names_within(rows, plot_area),
    }


def _is_crowded(row: ChartRow, edge: Sequence[ChartRow], plot_area: PlotArea) -> bool:
    near = [
        each
        for each in edge
        if abs(plot_area.y_to_px(each[plot_area.y] - row[plot_area.y])) < 2 * MOVED
    ]
    return len(near) > 1


def place_names_at_edge(rows: Sequence[ChartRow], plot_area: PlotArea) -> list[ChartRow]:
    """The last row of each series that reaches the right edge, with `label`, the height of its name.

    The heights are spread so that no two names overlap.
    """
    last = [
        line[-1]
        for line in group_by_series(rows).values()
        if line[-1][plot_area.x] == plot_area.right
    ]
    ordered = sorted(last, key=lambda row: (row[plot_area.y], str(row["series"])))
    gap = GAP * plot_area.top / HEIGHT
    heights: list[float] = []
    for row in ordered:
        lowest = heights[-1] + gap if heights else gap / 2
        heights.append(max(row[plot_area.y], lowest))
    ceiling = plot_area.top
    for index in reversed(range(len(heights))):
        heights[index] = min(heights[index], ceiling)
        ceiling = heights[index] - gap
    return [
        {**row, "label": round(height, 3)} for row, height in zip(ordered, heights, strict=True)
    ]


def place_names_within(rows: Sequence[ChartRow], plot_area: PlotArea) -> list[ChartRow]:
    """Rows {words, label, series}: names of lines that end before the edge.

    Lines that end in one place share a line of words; names that would overlap stand one above the other.
    """
    boxes: list[tuple[float, float, str]] = []  # [px], [px]
    for series, line in group_by_series(rows).items():
        name = str(series).removeprefix(
            "level "
        )  # there is little room; the note says what a line is
        first, last = line[0], line[-1]
        if last[plot_area.x] >= plot_area.right:
            continue
        side = 1 if last[plot_area.y] >= first[plot_area.y] else -1
        across, foot = plot_area.x_to_px(last[plot_area.x]), plot_area.y_to_px(last[plot_area.y])
        if foot < 1.25 * GAP:
            side = 1  # below the line the name would overlap the axis
        up = foot + side * 0.75 * GAP
        same = [at for at, box in enumerate(boxes) if abs(box[0] - across) < 8 and box[1] == up]
        if same:
            boxes[same[0]] = (*boxes[same[0]][:2], f"{boxes[same[0]][2]}, {name}")
            continue
        while any(_overlap((across, up, name), box) for box in boxes):
            up += side * GAP
            if up < GAP / 2:
                side, up = 1, foot + 0.75 * GAP
        boxes.append((across, up, name))
    return [
        {
            "words": round(plot_area.left + across / ACROSS * (plot_area.edge - plot_area.left), 3),
            "label": round(up / HEIGHT * plot_area.top, 3),
            "series": words,
        }
        for across, up, words in boxes
    ]


def _overlap(one: tuple[float, float, str], other: tuple[float, float, str]) -> bool:
    wide = LETTER * (len(one[2]) + len(other[2])) / 2 + 6
    return abs(one[0] - other[0]) < wide and abs(one[1] - other[1]) < GAP


def thin_line(line: Sequence[ChartRow], plot_area: PlotArea, *values: str) -> list[ChartRow]:
    """The line without points that lie within `STRAY` of a straight line between others (Douglas and Peucker, 1973)."""
    if len(line) < 3:
        return list(line)
    along = [row[plot_area.x] for row in line]
    heights = [[row[key] for row in line] for key in values]
    kept = [0]
    ends = [len(line) - 1]
    while ends:
        far, away = _find_farthest(along, heights, kept[-1], ends[-1], plot_area.top)
        if away > STRAY:
            ends.append(far)
        else:
            kept.append(ends.pop())
    return [line[at] for at in kept]


def _find_farthest(
    along: Sequence[float], heights: Sequence[Sequence[float]], first: int, last: int, top: float
) -> tuple[int, float]:
    """Index of the point between `first` and `last` that is farthest from their straight line, and its distance. [px]"""
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
