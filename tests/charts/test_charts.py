"""Charts: valid, small, honest about zero and intervals, and legible without colour."""

import gzip
import re
from dataclasses import dataclass, field
from html import unescape
from itertools import pairwise
from typing import Any

import altair as alt
import pytest

from generator.charts import embed
from generator.charts.drawing import bars, labels, line_svg, lines, minify, theme
from generator.charts.drawing.lines import LineChart
from generator.charts.kinds.range_by_level import BEYOND
from tests.charts import strokes
from tests.pages import site_example as example

LEVELS = ("Mild", "Even", "Climb", "Full")


@dataclass
class Table:
    """The part of a figures table that charts use, with invented rows in SI."""

    rows: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    bikes: tuple[Any, ...] = example.BIKES
    kinds: dict[str, Any] = field(default_factory=lambda: example.table().kinds)

    def curve(self, slug: str, name: str) -> list[dict[str, Any]]:
        return self.rows.get(name, [])

    def column(self, figure_id: str) -> dict[str, Any]:
        return example.table().column(figure_id)


def speeds(levels: tuple[str, ...] = LEVELS) -> list[dict[str, Any]]:
    return [
        {
            "level": level,
            "grade": grade / 100,
            "speed": (place + 2) - grade / 20,
            "low": (place + 1.5) - grade / 20,
            "high": (place + 2.5) - grade / 20,
        }
        for place, level in enumerate(levels)
        for grade in range(21)
    ]


def ranges(distance: float = 40_000.0) -> list[dict[str, Any]]:
    rows = [
        {
            "level": level,
            "route": route,
            "range": 1000.0 * length,
            "low": 900.0 * length,
            "high": 1100.0 * length,
        }
        for level, length in (("Mild", 60), ("Full", 30))
        for route in ("the quay", "the moor road")
    ]
    rows[0] |= {"range": distance, "low": 0.9 * distance, "high": 1.1 * distance}
    return rows


TABLE = Table(
    {
        "hills.speed_by_grade": speeds(),
        "range.by_level": ranges(),
        "assist.motor_by_rider": [
            {"level": level, "rider_power": float(power), "motor_power": float(power * (place + 1))}
            for place, level in enumerate(LEVELS)
            for power in range(40, 201, 20)
        ],
        "gears.cadence_by_speed": [
            {
                "gear": gear,
                "speed": speed / 2,
                "cadence": speed / 2 / (1 + gear),
                "assisted": 25 / 3.6,
            }
            for gear in (1, 2, 3)
            for speed in range(2, 20)
        ],
    }
)


def launches() -> list[dict[str, Any]]:
    """Straight lines from rest: Mild gains 0.5, Full 1, the legs alone 0.25 m/s each second."""
    return [
        {
            "level": level,
            "time": float(time),
            "speed": gain * time,
            "rider_power": min(30.0 * time, 60.0),
            "goal": 15 / 3.6,
            "take_up_angle": 1.5708,
            "take_up_time": 1.23,
        }
        for level, gain, end in (("motor off", 0.25, 14), ("Mild", 0.5, 10), ("Full", 1.0, 5))
        for time in range(end + 1)
    ]


TABLE.rows["assist.launch"] = launches()


def made(name: str) -> Any:
    layout = embed.lay_out_chart(TABLE, slug_of(name), name)  # type: ignore[arg-type] # a table with the three parts that charts use
    assert layout is not None
    return layout


def slug_of(name: str) -> str:
    return "EUR" if name == "price.range" else "invor-beta"


def figure(name: str, table: Table = TABLE, **more: Any) -> str:
    return str(embed.figure_for(table, slug_of(name), name, **more))  # type: ignore[arg-type] # as above


def test_specification_is_valid() -> None:
    """The specification is valid by the Vega-Lite schema in Altair, and small."""
    spec = made("price.range").build_spec()

    alt.LayerChart.from_dict(spec)
    assert sum(map(len, spec["datasets"].values())) < 2000


def test_every_drawn_field_is_in_the_rows() -> None:
    spec = made("price.range").build_spec()
    for layer in spec["layer"]:
        rows = spec["datasets"][layer.get("data", spec.get("data"))["name"]]
        fields = {channel["field"] for channel in layer["encoding"].values() if "field" in channel}
        for row in rows:
            assert fields <= set(row), layer["mark"]


def test_heights_start_at_zero() -> None:
    """Range, speed, power and cadence are drawn from zero, so that lengths are in proportion."""
    domains = [
        layer["encoding"]["y"]["scale"]["domain"]
        for layer in made("price.range").build_spec()["layer"]
        if "scale" in layer["encoding"].get("y", {})
    ]

    assert domains
    assert all(domain[0] == 0 for domain in domains)


@pytest.mark.parametrize(
    "name", [name for name in embed.NAMES if isinstance(made(name), LineChart)]
)
def test_lines_stand_over_zero(name: str) -> None:
    """The bottom of the plot area is marked 0."""
    chart = made(name)
    found = strokes.read(embed.draw_layout(chart), (0, line_svg.TOP + labels.HEIGHT))
    feet = [y for word, x, y in found.words if word == "0" and y < 10]
    assert feet == [4], "beside the ground, its middle at the foot"


def test_bars_start_at_zero() -> None:
    found = strokes.read(embed.draw_layout(made("range.by_level")), (bars.LEFT, 0))
    shapes = [bar for each in found.fills.values() for bar in each]

    assert len(shapes) == 4
    assert {min(x for x, _ in bar) for bar in shapes} == {0}


@pytest.mark.parametrize("name", embed.NAMES)
def test_picture_has_words_and_no_ids_of_its_own(name: str) -> None:
    """The picture has a role, a name and a description for screen readers, and a table of its numbers."""
    html = figure(name)

    assert 'role="img"' in html
    assert len(re.findall("<title ", html)) == 1
    described = re.findall(r'aria-describedby="([^"]+)"', html)
    assert [f'<span class="chart__finding" id="{one}">' in html for one in described] == [True]
    assert '<table class="data">' in html
    assert len(re.findall(r' id="', html)) == 3
    assert not re.search("style=|<style|clip-path|url\\(", html)


def test_text_is_large_enough_on_a_small_phone() -> None:
    """At 320 px the column is 296 px wide; drawn text must not fall under 12 px. House rule."""
    assert theme.TEXT * 296 / theme.WIDTH >= 12


def test_series_differ_by_dash_and_shape() -> None:
    """WCAG 2.2, 1.4.1: colour is never the only sign."""
    assert len(set(theme.SERIES)) == len(set(theme.DASHES)) == len(set(theme.SHAPES)) == 5


def test_names_at_the_edge_do_not_meet() -> None:
    """Five lines that end together get five heights, each a text line apart and inside the picture."""
    rows = [{"series": name, "x": x, "y": 10.0} for name in "abcde" for x in (0, 1)]
    plot_area = labels.PlotArea("x", "y", left=0, right=1, edge=1.5, top=10.0)
    heights = sorted(row["label"] for row in labels.place_names_at_edge(rows, plot_area))
    gap = labels.GAP * 10.0 / labels.HEIGHT

    assert all(above - below >= gap - 1e-3 for below, above in pairwise(heights))
    assert heights[-1] <= 10.0


def test_at_most_five_lines_first_and_last_kept() -> None:
    assert lines.pick_evenly(list(range(1, 13))) == [1, 4, 7, 9, 12]
    assert lines.pick_evenly([1, 2]) == [1, 2]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        (
            "hills.speed_by_grade",
            "On a 10 % grade it settles at 16 km/h in Full and at 5 km/h in Mild.",
        ),
        (
            "range.by_level",
            "From about 30 km (Full, the quay) to about 60 km (Mild, the moor road).",
        ),
        ("assist.motor_by_rider", "In Full the motor gives 160 W when the rider gives 40 W"),
        ("assist.launch", "In Full it takes 4.2 s to 15 km/h; with the motor off, more than 14 s."),
        (
            "gears.cadence_by_speed",
            "At 25 km/h, where the motor's help ends, gear 3 asks for 104 turns a minute.",
        ),
        ("price.range", "Invor Beta goes furthest, about 90 km, and is the dearest of them."),
    ],
)
def test_finding_says_what_the_rows_say(name: str, said: str) -> None:
    """Worked out by hand from the invented rows: Full at 10 % is 4.5 m/s, which is 16.2 km/h; 15 km/h is
    4.17 m/s, which Full reaches after 4.17 s; 6.94 m/s on 4 m a turn are 104 turns a minute; and so on.
    """
    assert said in unescape(figure(name))


def test_us_units() -> None:
    """4.5 m/s is 10.07 mph: 1 mile is 1609.344 m exactly (yard and pound agreement, 1959)."""
    assert "it settles at 10 mph in Full" in figure("hills.speed_by_grade", system="us")


def test_a_bar_off_the_scale_is_cut_and_says_so() -> None:
    """A range of 700 km must not squeeze the others; its number stays."""
    html = figure("range.by_level", Table({"range.by_level": ranges(700_000.0)}))

    assert f"{BEYOND} 700 km" in html
    assert "is cut short" in html


def test_currencies_are_never_mixed() -> None:
    """A bike priced in dollars is not among those in euro."""
    html = figure("price.range")

    assert "Invor Alpa" in html
    assert "Invor Gamma" not in html


def test_hostile_names_stay_text() -> None:
    html = figure(
        "hills.speed_by_grade", Table({"hills.speed_by_grade": speeds(("<b>x</b>", "y"))})
    )

    assert "<b>" not in html


def test_numbers_may_stand_elsewhere_on_the_page() -> None:
    """A chart links to its numbers if the page has them already."""
    html = figure("range.by_level", numbers_in="family-range-level")

    assert '<a href="#family-range-level">' in html
    assert "<table" not in html


def test_the_launch_says_what_the_rider_gives_and_when_help_comes() -> None:
    """1.5708 rad is a quarter turn, 90°; the rows say 60 W and 1.23 s."""
    html = figure("assist.launch")

    assert "The rider comes to 60 W" in html
    assert "after 1.2 s; the crank turns 90° before it starts" in html
    assert ">15 km/h</text>" in html


def test_the_motor_off_is_drawn_in_ink_and_last() -> None:
    rows = embed.find_definition("assist.launch").rows(TABLE, "invor-beta", "metric")  # type: ignore[arg-type] # as above
    last = [row for row in rows if row["series"] == "motor off"]

    assert rows[-len(last) :] == last
    assert {theme.SERIES[row["place"]] for row in last} == {theme.INK}


def test_where_help_ends_is_marked() -> None:
    assert ">help ends, 25 km/h</text>" in figure("gears.cadence_by_speed")
    assert ">help ends, 15.5 mph</text>" in figure("gears.cadence_by_speed", system="us")


def test_numbers_stand_in_both_unit_systems() -> None:
    """4 m/s is 14.4 km/h and 8.9 mph; what is the same in both, such as the grade, stands once."""
    html = figure("hills.speed_by_grade")
    turned = figure("hills.speed_by_grade", system="us")

    assert '<span class="u-metric">14.4</span> <span class="u-us">(8.9)</span>' in html
    assert 'Full, <span class="u-metric">km/h</span> <span class="u-us">(mph)</span>' in html
    assert '<span class="u-us">8.9</span> <span class="u-metric">(14.4)</span>' in turned
    assert '<th scope="row">10</th>' in html


@pytest.mark.parametrize("name", embed.NAMES)
def test_pictures_are_light(name: str) -> None:
    """A picture has at most 1.2 KB, compressed. House rule."""
    assert len(gzip.compress(embed.draw_layout(made(name)).encode())) <= 1200


def test_points_on_a_straight_line_are_left_out() -> None:
    """A line with one bend keeps its ends and the bend; no point is further off than `STRAY`."""
    plot_area = labels.PlotArea("x", "y", left=0, right=10, edge=14, top=10)
    bent = [{"series": "a", "x": x, "y": min(x, 5)} for x in range(11)]
    wavy = [{"series": "a", "x": x, "y": 5 + (x % 3) * 0.005} for x in range(11)]

    assert [row["x"] for row in labels.thin_line(bent, plot_area, "y")] == [0, 5, 10]
    assert [row["x"] for row in labels.thin_line(wavy, plot_area, "y")] == [0, 10]


def test_names_of_short_lines_do_not_meet() -> None:
    """Lines that end in one place share their words; names of nearby ends stand apart; none falls below the axis."""
    plot_area = labels.PlotArea("x", "y", left=0, right=10, edge=14, top=10)
    ends = {"a": (4, 9.0), "b": (4, 9.0), "c": (4.5, 9.0), "far": (10, 1), "low": (5, 0.2)}
    rows = [
        {"series": name, "x": x, "y": y, "place": 0}
        for name, end in ends.items()
        for x, y in ((0, 5.0), end)
    ]
    found = {row["series"]: row for row in labels.place_names_within(rows, plot_area)}
    apart = abs(found["a, b"]["label"] - found["c"]["label"]) / 10 * labels.HEIGHT

    assert set(found) == {"a, b", "c", "low"}
    assert apart >= labels.GAP - 0.1
    assert found["low"]["label"] > 0.2


def test_ticks_are_round() -> None:
    assert lines.round_ticks(0, 14) == [0, 5, 10]
    assert lines.round_ticks(3.6, 30) == [5, 10, 15, 20, 25, 30]
    assert lines.round_ticks(600, 7000) == [2000, 4000, 6000]


def test_lines_are_written_as_steps_between_whole_pixels() -> None:
    """10.4 rounds to 10 and 21.6 to 22, so the step is 12; worked out by hand."""
    assert (
        minify.minify_svg('<path d="M0,10.4L11,21.6L22,21.6Z"/>') == '<path d="M0,10l11,12 11,0Z"/>'
    )
    assert minify.minify_svg('<path d="M0,2.4h9.6v15Z"/>') == '<path d="M0,2h10v15Z"/>'


def test_groups_that_say_nothing_are_left_out() -> None:
    """A group with attributes stays around its content; a filled mark needs no stroke width."""
    drawn = '<g><g transform="translate(1,2)"><g><path d="M0,0" fill="red" stroke-width="2"/></g><g/></g></g>'
    stroked = '<line x2="5" stroke="red" stroke-width="2"/>'

    assert (
        minify.minify_svg(drawn) == '<g transform="translate(1,2)"><path d="M0,0" fill="red"/></g>'
    )
    assert minify.minify_svg(stroked) == stroked


def test_nothing_known_nothing_drawn() -> None:
    assert figure("range.by_level", Table()) == ""


def test_an_unknown_chart_names_the_known_ones() -> None:
    with pytest.raises(embed.NoSuchChartError, match=r"hills\.speed_by_grade"):
        figure("hills.speed")
