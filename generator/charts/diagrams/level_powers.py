"""What a level means: the motor's power against speed, for levels that limit speed, current or share, or multiply."""

from collections.abc import Callable, Sequence

from markupsafe import Markup

from generator.charts.drawing import svg_elements, theme
from generator.charts.drawing.lines import picked
from generator.charts.rows import Row, System, level_name, units

MEANS = {
    "speed": "limit the speed",
    "current": "limit the current",
    "share": "cap the power",
    "ratio": "multiply your push",
}
TALL, GAP = 96, 14
RIGHT = theme.WIDTH - 74
"""End of the plotted ground; the names of the levels stand beside it. [px]"""
DASHES = ("", "7 3", "2 2", "9 3 2 3", "14 4")
EACH = 5
"""Between the columns of the table. [km/h]"""


def drawn(rows: Sequence[Row], system: System) -> svg_elements.Diagram:
    faster, unit, _, _ = units(system)
    machines = list(dict.fromkeys(row["machine"] for row in rows))
    highest = svg_elements.nice_top(max(row["power"] for row in rows))
    last = max(row["speed"] for row in rows) * faster
    across = svg_elements.scale(0.0, last, svg_elements.LEFT, RIGHT)
    shapes: list[Markup] = []
    floor = 0.0
    for place, machine in enumerate(machines):
        own = [row for row in rows if row["machine"] == machine]
        top = svg_elements.LINE + 4 + place * (TALL + GAP + svg_elements.LINE)
        floor = top + TALL
        up = svg_elements.scale(0.0, highest, floor, top)
        title = svg_elements.words(svg_elements.LEFT, top - 5, _title(own))
        shapes += [
            svg_elements.group([title]),
            *svg_elements.ground(top, floor, highest, "W", RIGHT),
        ]
        for number, name in enumerate(picked(_names(own))):
            points = [(across(row["speed"] * faster), up(row["power"])) for row in _of(own, name)]
            colour = theme.SERIES[number]
            shapes.append(svg_elements.line(points, colour, dash=DASHES[number]))
        shapes.append(_labels(own, lambda speed: across(speed * faster), up, unit))
    marks = [
        svg_elements.words(across(mark), floor + 18, f"{mark}", "middle")
        for mark in range(0, int(last) + 1, 10)
    ]
    shapes.append(svg_elements.group([*marks, svg_elements.words(RIGHT + 6, floor + 18, unit)]))
    head, body = _grid(rows, faster, unit)
    return svg_elements.Diagram(
        title="What a level means",
        height=round(floor + 24),
        shapes=shapes,
        finding=" ".join(
            _said([row for row in rows if row["machine"] == machine], system)
            for machine in machines
        ),
        note=(
            "From left to right the bike rides faster; the height is the motor's power at the road while the rider gives "
            f"{rows[0]['effort']:.0f} W. Where a line falls to the floor the motor lets go."
        ),
        head=head,
        body=body,
    )


def _names(rows: Sequence[Row]) -> list[str]:
    return list(dict.fromkeys(row["level"] for row in rows))


def _of(rows: Sequence[Row], level: str) -> list[Row]:
    return [row for row in rows if row["level"] == level]


def _title(rows: Sequence[Row]) -> str:
    means = _means(rows)
    return f"Levels that {' and '.join(means)}" if means else "Levels that set no limit"


def _means(rows: Sequence[Row]) -> list[str]:
    given = " ".join(sorted({row["means"] for row in rows})).split()
    return [words for name, words in MEANS.items() if name in given]


def _end(rows: Sequence[Row]) -> float:
    """Speed at which the motor has let go. [m/s]"""
    pulled = [place for place, row in enumerate(rows) if row["power"] >= 1.0]
    return float(rows[min(max(pulled, default=0) + 1, len(rows) - 1)]["speed"])


def _crest(rows: Sequence[Row]) -> float:
    """The most that the motor gives. [W]"""
    return float(max(row["power"] for row in rows))


def _labels(
    rows: Sequence[Row], across: Callable[[float], float], up: Callable[[float], float], unit: str
) -> Markup:
    """Each level's name: at the foot of its fall where the levels let go one after another, else at the line's right."""
    names = picked(_names(rows))
    ends = {name: _end(_of(rows, name)) for name in names}
    if (
        len(names) > 1
        and _means(rows)[:1] == [MEANS["speed"]]
        and len(set(ends.values())) == len(names)
    ):
        told = {name: name.removesuffix(f" {unit}") for name in names}
        return svg_elements.group(
            [
                svg_elements.words(across(ends[name]) - 8, up(0.0) - 5, told[name], "end")
                for name in names
            ]
        )
    placed, lowest = [], 1e9
    crests = {name: _crest(_of(rows, name)) for name in names}
    for name, power in sorted(crests.items(), key=lambda one: one[1]):
        lowest = min(up(power) + 5, lowest - 15)
        placed.append(svg_elements.words(RIGHT + 6, lowest, level_name(name)))
    return svg_elements.group(placed)


def _said(rows: Sequence[Row], system: System) -> str:
    faster, unit, _, _ = units(system)
    names = _names(rows)
    lowest, highest = _of(rows, names[0]), _of(rows, names[-1])
    first, last = level_name(names[0]), level_name(names[-1])
    weak, strong = _crest(lowest), _crest(highest)
    if len(names) == 1:
        return f"There is one level; it gives up to {strong:.0f} W."
    if _means(rows) == [MEANS["speed"]]:
        return (
            f"{_title(rows)} pull alike and let go one after another, the first near {_end(lowest) * faster:.0f} {unit}, "
            f"the last near {_end(highest) * faster:.0f} {unit}."
        )
    return f"{_title(rows)}: {first} gives up to {weak:.0f} W, {last} up to {strong:.0f} W."


def _grid(rows: Sequence[Row], faster: float, unit: str) -> tuple[list[str], list[list[str]]]:
    machines = list(dict.fromkeys(row["machine"] for row in rows))
    columns = sorted(
        {row["speed"] for row in rows if abs(row["speed"] * 3.6 / EACH % 1 - 0.5) > 0.49}
    )
    body = []
    for machine in machines:
        own = [row for row in rows if row["machine"] == machine]
        for name in _names(own):
            powers = {row["speed"]: row["power"] for row in _of(own, name)}
            cells = [svg_elements.number(powers[speed]) for speed in columns]
            body.append([level_name(name), *cells])
    return ["Level", *(f"W at {speed * faster:.3g} {unit}" for speed in columns)], body
