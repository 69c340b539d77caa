"""Charts: valid, small, honest about zero and intervals, and told apart without colour."""

import re
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import altair as alt
import pytest

from generator.charts import lines, svg, theme
from generator.charts.range_by_level import BEYOND
from tests.pages import site_example as example

LEVELS = ("Mild", "Even", "Climb", "Full")


@dataclass
class Table:
    """What charts use of the figures table: invented rows in SI."""

    rows: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    bikes: tuple[Any, ...] = example.BIKES

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
            {"gear": gear, "speed": speed / 2, "cadence": speed / 2 / (1 + gear)}
            for gear in (1, 2, 3)
            for speed in range(2, 20)
        ],
    }
)


def made(name: str) -> dict[str, Any]:
    spec = svg.spec(TABLE, slug_of(name), name)  # type: ignore[arg-type] # a table with the three parts that charts use
    assert spec is not None
    return spec


def slug_of(name: str) -> str:
    return "EUR" if name == "price.range" else "invor-beta"


def figure(name: str, table: Table = TABLE, **more: Any) -> str:
    return str(svg.figure_for(table, slug_of(name), name, **more))  # type: ignore[arg-type] # as above


@pytest.mark.parametrize("name", svg.NAMES)
def test_specification_is_valid(name: str) -> None:
    """Against the Vega-Lite schema that Altair carries, and small."""
    spec = made(name)

    alt.LayerChart.from_dict(spec)
    assert sum(map(len, spec["datasets"].values())) < 2000


@pytest.mark.parametrize("name", svg.NAMES)
def test_every_drawn_field_is_in_the_rows(name: str) -> None:
    spec = made(name)
    for layer in spec["layer"]:
        rows = spec["datasets"][layer.get("data", spec.get("data"))["name"]]
        fields = {channel["field"] for channel in layer["encoding"].values() if "field" in channel}
        for row in rows:
            assert fields <= set(row), (name, layer["mark"])


@pytest.mark.parametrize("name", svg.NAMES)
def test_heights_and_bars_start_at_zero(name: str) -> None:
    """Range, speed, power and cadence are drawn from zero, so that a length means what it seems to."""
    channel = "x" if name == "range.by_level" else "y"
    domains = [
        layer["encoding"][channel]["scale"]["domain"]
        for layer in made(name)["layer"]
        if "scale" in layer["encoding"].get(channel, {})
    ]

    assert domains
    assert all(domain[0] == 0 for domain in domains)


@pytest.mark.parametrize("name", svg.NAMES)
def test_picture_has_words_and_no_ids_of_its_own(name: str) -> None:
    """Role, name and description for those who do not see it; the numbers in a table beside it."""
    html = figure(name)

    assert 'role="img"' in html
    assert len(re.findall("<title ", html)) == len(re.findall("<desc ", html)) == 1
    assert '<table class="data">' in html
    assert len(re.findall(r' id="', html)) == 3
    assert not re.search("style=|<style|clip-path|url\\(", html)


def test_conversion_is_reproducible() -> None:
    spec = made("hills.speed_by_grade")

    assert svg.convert(spec) == svg.convert(spec)


def test_text_is_large_enough_on_a_small_phone() -> None:
    """At 320 px the column is 296 px wide; drawn text must not fall under 12 px. House rule."""
    assert theme.TEXT * 296 / theme.WIDTH >= 12


def test_series_differ_by_dash_and_shape() -> None:
    """WCAG 2.2, 1.4.1: colour is never the only sign."""
    assert len(set(theme.SERIES)) == len(set(theme.DASHES)) == len(set(theme.SHAPES)) == 5


def test_names_at_the_edge_do_not_meet() -> None:
    """Five lines that end together get five heights, each a text line apart and inside the picture."""
    rows = [{"series": name, "x": x, "y": 10.0} for name in "abcde" for x in (0, 1)]
    heights = sorted(row["label"] for row in lines.names_at_edge(rows, "x", "y", 10.0))
    gap = lines.GAP * 10.0 / lines.HEIGHT

    assert all(above - below >= gap - 1e-3 for below, above in pairwise(heights))
    assert heights[-1] <= 10.0


def test_at_most_five_lines_first_and_last_kept() -> None:
    assert lines.picked(list(range(1, 13))) == [1, 4, 7, 9, 12]
    assert lines.picked([1, 2]) == [1, 2]


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
        ("gears.cadence_by_speed", "At 31 km/h gear 3 asks for 128 turns a minute."),
        ("price.range", "Invor Beta goes furthest, about 90 km, and is the dearest of them."),
    ],
)
def test_finding_says_what_the_rows_say(name: str, said: str) -> None:
    """Worked out by hand from the invented rows: Full at 10 % is 4.5 m/s, which is 16.2 km/h, and so on."""
    assert said in figure(name)


def test_us_units() -> None:
    """4.5 m/s is 10.07 mph: 1 mile is 1609.344 m exactly (yard and pound agreement, 1959)."""
    assert "it settles at 10 mph in Full" in figure("hills.speed_by_grade", system="us")


def test_a_bar_off_the_scale_is_cut_and_says_so() -> None:
    """A range of 700 km must not squeeze the others; its number stays."""
    html = figure("range.by_level", Table({"range.by_level": ranges(700_000.0)}))

    assert f"{BEYOND} 700 km" in html
    assert "is cut short" in html


def test_currencies_are_never_mixed() -> None:
    """The bike that is priced in dollars is not among those in euro."""
    html = figure("price.range")

    assert "Invor Alpa" in html
    assert "Invor Gamma" not in html


def test_hostile_names_stay_text() -> None:
    html = figure(
        "hills.speed_by_grade", Table({"hills.speed_by_grade": speeds(("<b>x</b>", "y"))})
    )

    assert "<b>" not in html


def test_numbers_may_stand_elsewhere_on_the_page() -> None:
    """A chart whose numbers the page holds already links to them."""
    html = figure("range.by_level", numbers_in="family-range-level")

    assert '<a href="#family-range-level">' in html
    assert "<table" not in html


def test_lines_are_written_as_steps_between_whole_pixels() -> None:
    """10.4 rounds to 10 and 21.6 to 22, so the step is 12; worked out by hand."""
    assert svg.lean('<path d="M0,10.4L11,21.6L22,21.6Z"/>') == '<path d="M0,10l11,12 11,0Z"/>'
    assert svg.lean('<path d="M0,2.4h9.6v15Z"/>') == '<path d="M0,2h10v15Z"/>'


def test_nothing_known_nothing_drawn() -> None:
    assert figure("range.by_level", Table()) == ""


def test_an_unknown_chart_names_the_known_ones() -> None:
    with pytest.raises(svg.NoSuchChartError, match=r"hills\.speed_by_grade"):
        figure("hills.speed")
