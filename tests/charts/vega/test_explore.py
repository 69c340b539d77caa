"""Charts to explore: valid forms, and columns that hold what the curves hold."""

import json
from typing import Any

import altair as alt
import pytest

from generator.charts import embed
from generator.charts.vega import columns, explore
from tests.charts.test_charts import TABLE, launches, slug_of


def packed(name: str) -> dict[str, Any]:
    found = columns.build_columns(TABLE, slug_of(name), name)  # type: ignore[arg-type] # a table with the parts that charts use
    assert found is not None
    return found


@pytest.mark.parametrize("form", ["lines", "bars", "points"])
def test_forms_are_valid(form: str) -> None:
    """Forms are valid by the Vega-Lite schema in Altair, without rows, selections or transitions."""
    spec = explore.build_forms()[form]

    alt.LayerChart.from_dict(spec)
    assert "datasets" not in spec
    assert '"select"' not in json.dumps(spec)


def test_every_chart_can_be_explored() -> None:
    assert set(explore.KINDS) == set(embed.NAMES)
    assert {kind.form for kind in explore.KINDS.values()} == set(explore.build_forms())


@pytest.mark.parametrize("name", embed.NAMES)
def test_columns_are_of_one_length(name: str) -> None:
    """Places, and lists of x, y, low and high, are as many as the series; each list is as long as its x."""
    found = packed(name)
    lists = [found[key] for key in ("x", "y", "low", "high") if key in found]

    assert all(len(each) == len(found["series"]) == len(found["place"]) for each in lists)
    assert all(
        len(line) == len(x) for each in lists for line, x in zip(each, found["x"], strict=True)
    )


def test_lines_hold_the_curve_in_si() -> None:
    """Lines hold the rows of the table's curve, not those of the picture, which are rounded and in km/h."""
    found = packed("assist.launch")
    full = [row for row in launches() if row["level"] == "Full"]

    assert found["series"] == ["Mild", "Full", "motor off"]
    assert found["x"][1] == [row["time"] for row in full]
    assert found["y"][1] == [row["speed"] for row in full]
    assert found["mark"] == 15 / 3.6


def test_series_have_the_colours_of_the_still_picture() -> None:
    """The legs alone have the fifth colour in both."""
    assert packed("assist.launch")["place"] == [0, 1, 4]
    assert packed("hills.speed_by_grade")["place"] == [0, 1, 2, 3]


def test_bars_count_levels_and_say_where_long_ones_end() -> None:
    found = packed("range.by_level")

    assert found["names"] == ["Mild", "Full"]
    assert found["series"] == ["the quay", "the moor road"]
    assert found["y"] == [[40_000.0, 30_000.0], [60_000.0, 30_000.0]]
    assert found["cut"] == columns.LONGEST * 35_000.0


def test_points_lead_to_their_bikes() -> None:
    """Points have ranges in metres from the figures; the chart of euro has no bike in dollars."""
    found = packed("price.range")

    assert sum(map(len, found["x"])) == 2
    assert {slug for line in found["slugs"] for slug in line} == {"invor-alpa", "invor-beta"}
    assert {value for line in found["y"] for value in line} == {40_000.0, 90_000.0}


def test_nothing_known_nothing_packed() -> None:
    assert columns.build_columns(type(TABLE)(), "invor-beta", "assist.launch") is None  # type: ignore[arg-type] # as above
