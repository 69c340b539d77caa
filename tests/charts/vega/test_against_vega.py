"""Our drawing against Vega's of the same layout: every line, mark, bar and word within a pixel or two."""

import re
from typing import Any

import pytest
import vl_convert

from generator.charts import embed
from generator.charts.drawing import axes, bars, line_svg, theme
from generator.charts.drawing.bars import BarChart
from generator.charts.drawing.labels import HEIGHT
from generator.charts.drawing.lines import LineChart
from generator.charts.rows import System
from tests.charts import strokes
from tests.charts.test_charts import TABLE
from tests.charts.vega import by_vega

LINES = [name for name in embed.NAMES if name not in ("price.range", "range.by_level")]
NEAR = 1.5
"""Distance too small for readers to see. [px]  House rule."""


def drawn_by_vega(spec: dict[str, Any]) -> strokes.Strokes:
    text = vl_convert.vegalite_to_svg(spec)
    found = re.search(r"translate\(([\d.]+),([\d.]+)\)", text)
    assert found
    return strokes.read(text, (float(found[1]), float(found[2])))


def near(one: tuple[str, float, float], other: tuple[str, float, float]) -> bool:
    return one[0] == other[0] and max(abs(one[1] - other[1]), abs(one[2] - other[2])) <= NEAR


def line_chart(name: str, system: System) -> tuple[LineChart, float]:
    """A chart, and the left edge of its plot area. [px]"""
    chart = embed.lay_out_chart(TABLE, "invor-beta", name, system)  # type: ignore[arg-type] # a table with the parts that charts use
    assert isinstance(chart, LineChart)
    return chart, axes.measure_ticks(axes.format_ticks(axes.round_steps(chart.plot_area.top)))


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("name", LINES)
def test_lines(name: str, system: System) -> None:
    chart, left = line_chart(name, system)
    ours = strokes.read(embed.draw_layout(chart), (left, line_svg.TOP))
    vegas = drawn_by_vega(by_vega.of_lines(chart, line_svg.RIGHT - left))

    assert ours.lines.keys() == vegas.lines.keys()
    assert len(ours.lines) > 1
    for colour, line in vegas.lines.items():
        assert max(strokes.away(point, ours.lines[colour]) for point in line) <= NEAR
        assert max(strokes.away(point, line) for point in ours.lines[colour]) <= NEAR
    for colour, shapes in vegas.fills.items():
        middles = [strokes.middle(shape) for shape in ours.fills[colour]]
        assert len(middles) == len(shapes)
        for shape in shapes:
            x, y = strokes.middle(shape)
            assert any(abs(x - a) <= NEAR and abs(y - b) <= NEAR for a, b in middles), colour
    titles = {chart.kind.x_title, chart.kind.y_title}
    for word in vegas.words:
        if word[0] not in titles:
            assert any(near(word, other) for other in ours.words), word
    assert sorted(word[0] for word in ours.words) == sorted(word[0] for word in vegas.words)


def test_a_line_that_goes_astray_is_noticed() -> None:
    """The test above can fail: two pixels are too many."""
    chart, left = line_chart("assist.launch", "metric")
    ours = strokes.read(embed.draw_layout(chart), (left, line_svg.TOP))
    line = next(iter(ours.lines.values()))

    assert max(strokes.away((x + 2, y + 2), line) for x, y in line) > NEAR


def test_bars() -> None:
    """Bars agree along the scale; from top to bottom only their order does, since our rows have a height of their own."""
    chart = embed.lay_out_chart(TABLE, "invor-beta", "range.by_level")  # type: ignore[arg-type] # as above
    assert isinstance(chart, BarChart)
    ours = strokes.read(embed.draw_layout(chart), (bars.LEFT, 0))
    vegas = drawn_by_vega(by_vega.of_bars(chart, bars.RIGHT - bars.LEFT, HEIGHT))

    def reach(found: strokes.Strokes) -> dict[str, list[float]]:
        """Right ends of the bars of each colour, from top to bottom."""
        return {
            colour: [max(x for x, _ in bar) for bar in sorted(shapes, key=strokes.middle_height)]
            for colour, shapes in found.fills.items()
        }

    assert reach(ours).keys() == reach(vegas).keys() == set(theme.SERIES[:2])
    for colour, ends in reach(vegas).items():
        assert reach(ours)[colour] == pytest.approx(ends, abs=NEAR)

    def spans(found: strokes.Strokes) -> list[float]:
        ordered = sorted(found.rules, key=lambda rule: rule[0][1])
        return [x for rule in ordered for x in sorted((rule[0][0], rule[1][0]))]

    assert spans(ours) == pytest.approx(spans(vegas), abs=NEAR)

    def places(found: strokes.Strokes) -> list[tuple[str, float]]:
        return sorted((word, x) for word, x, _ in found.words)

    for (word, x), (other, theirs) in zip(places(ours), places(vegas), strict=True):
        assert word == other
        assert x == pytest.approx(theirs, abs=NEAR)


@pytest.mark.parametrize("top", [0.3, 1.0, 3.3, 7.0, 24.9, 27.5, 137.0, 440.0, 1500.0, 99_000.0])
def test_round_values_are_those_of_vega(top: float) -> None:
    """An axis from zero that is asked for about five values has those of Vega."""
    spec = {
        "data": {"values": [{"y": 0.0}]},
        "mark": "point",
        "encoding": {
            "y": {
                "field": "y",
                "type": "quantitative",
                "axis": {"tickCount": 5, "labelOverlap": False},
                "scale": {"domain": [0, top], "nice": False},
            }
        },
    }
    labels = re.findall(r"<text[^>]*>([\d.,]+)</text>", vl_convert.vegalite_to_svg(spec))

    assert axes.format_ticks(axes.round_steps(top)) == labels
