"""Diagrams: drawn from the model, the same each time, small, and legible without colour and on a small phone.

The numbers are read back from the table below each picture.
"""

import gzip
import math
import re
from xml.etree import ElementTree

import numpy as np
import pytest
from selectolax.lexbor import LexborHTMLParser

from generator.charts import diagrams
from generator.charts.drawing import theme
from generator.charts.rows import System
from generator.compute import ride
from generator.figures.simulation import typical
from tests.compute import rig
from tests.figures import demo

SLUGS = ("", "oskelm-talli", "oskelm-talli-s", "pellimor-fenno", "neshwick-arrum", "tuspen-hebb")
HEAVIEST = 1500
"""Largest size of a picture, compressed. [bytes]  House rule."""

everyone = pytest.mark.parametrize("name", diagrams.NAMES)
each_bike = pytest.mark.parametrize("slug", SLUGS)


def figure(name: str, slug: str = "", system: System = "metric") -> str:
    return str(diagrams.figure_for(demo.table(), slug, name, system=system))


def picture(html: str) -> str:
    return html[html.index("<svg") : html.index("</svg>") + 6]


def table(html: str) -> tuple[list[str], dict[str, list[str]]]:
    """Heads of the columns, and the cells of each row by its head."""
    tree = LexborHTMLParser(html)
    heads = [cell.text() for cell in tree.css("thead th")][1:]
    rows = {
        row.css("th")[0].text(): [cell.text() for cell in row.css("td")]
        for row in tree.css("tbody tr")
    }
    return heads, rows


def columns(html: str) -> dict[str, list[float]]:
    """Each column of numbers by its head."""
    heads, rows = table(html)
    cells = list(rows.values())
    return {head: [float(row[place]) for row in cells] for place, head in enumerate(heads)}


def cells_of(html: str, row: str) -> dict[str, float]:
    heads, rows = table(html)
    return {head: float(cell) for head, cell in zip(heads, rows[row], strict=True)}


@everyone
@each_bike
def test_a_picture_is_whole_small_and_the_same_each_time(name: str, slug: str) -> None:
    """The picture is well-formed, and named and described for screen readers, with no ids beyond those three."""
    html = figure(name, slug)
    tree = ElementTree.fromstring(picture(html))

    assert html == figure(name, slug)
    assert tree.attrib["role"] == "img"
    assert tree.attrib["viewBox"] == f"0 0 {theme.WIDTH} {tree.attrib['height']}"
    assert [child.tag.rpartition("}")[2] for child in tree[:2]] == ["title", "desc"]
    assert len(re.findall(r' id="', html)) == 3
    assert len(gzip.compress(picture(html).encode(), 6)) <= HEAVIEST
    assert not re.search("style=|<style|font-size|url\\(", picture(html))


@everyone
@each_bike
def test_everything_stands_within_the_paper(name: str, slug: str) -> None:
    """Words begin and lines run inside the drawing; text is 13.5 px of 328, so over 12 px on a screen 320 px wide."""
    tree = ElementTree.fromstring(picture(figure(name, slug)))
    tall = float(tree.attrib["height"])
    for node in tree.iter():
        if node.tag.endswith("text"):
            assert 0 <= float(node.attrib["x"]) <= theme.WIDTH
            assert 0 < float(node.attrib["y"]) <= tall
        for move in re.findall(r"M([\d.]+) ([\d.]+)", node.attrib.get("d", "")):
            assert 0 <= float(move[0]) <= theme.WIDTH
            assert 0 <= float(move[1]) <= tall


@everyone
def test_lines_that_share_a_panel_differ_by_dash(name: str) -> None:
    """WCAG 2.2, 1.4.1: colour is never the only sign. Every colour is one that the style sheet knows."""
    svg = picture(figure(name))
    known = {theme.INK, theme.MUTED, theme.RULE, *theme.SERIES}

    assert set(re.findall(r'(?:stroke|fill)="(#\w+)"', svg)) <= known
    if name in ("crank-turn", "levels"):
        assert 'stroke-dasharray="7 3"' in svg


@everyone
def test_finding_note_and_assumptions_are_told(name: str) -> None:
    html = figure(name)

    assert "chart__finding" in html
    assert "From left to right" in html
    assert typical.WORDS in html
    assert typical.WORDS not in figure(name, "oskelm-talli")


def test_an_unknown_name_is_refused() -> None:
    with pytest.raises(diagrams.NoSuchDiagramError):
        figure("crank-turns")


def test_a_bike_of_which_too_little_is_known_is_not_drawn() -> None:
    assert figure("crank-turn", "gromblo-drusk") == ""


# One turn of the crank


def test_legs_give_the_power_that_they_are_said_to() -> None:
    """Mean torque is power over crank speed, 120 W ÷ 2π rad/s = 19.1 N·m (identity), and a half turn says it all."""
    found = columns(figure("crank-turn"))

    assert np.mean(found["Legs, 120 W push (N·m)"][:-1]) == pytest.approx(19.1, abs=0.05)
    assert np.mean(found["Your legs, 60 W push (W)"][:-1]) == pytest.approx(60, abs=0.5)


@pytest.mark.parametrize("slug", ["", "oskelm-talli", "tuspen-hebb"])
def test_a_cadence_law_is_flat_in_angle_and_in_effort(slug: str) -> None:
    """A cadence sensor sees that the crank turns, not how hard: common practice, no source. Slope in effort 0."""
    found = columns(figure("crank-turn", slug))
    hard = found["Motor, cadence sensor, 120 W push (W)"]

    assert len(set(hard)) == 1
    assert hard == found["Motor, cadence sensor, 60 W push (W)"]
    assert hard[0] > 50


def test_a_throttle_gives_what_the_level_allows_and_asks_for_no_legs() -> None:
    found = columns(figure("crank-turn"))

    assert (
        found["Motor, throttle at the same level, 120 W push (W)"]
        == found["Motor, throttle at the same level, 60 W push (W)"]
        == found["Motor, cadence sensor, 60 W push (W)"]
    )


def test_a_torque_law_is_proportional_and_steady_over_half_turns() -> None:
    """The middle level of the typical machine multiplies by 1.2: 72 W for 60 W and 144 W for 120 W, by hand."""
    found = columns(figure("crank-turn"))

    assert set(found["Motor, torque sensor, half-turn average, 60 W push (W)"]) == {72}
    assert set(found["Motor, torque sensor, half-turn average, 120 W push (W)"]) == {144}


def test_a_quick_average_rides_with_the_legs() -> None:
    """The motor's mean is that of the legs; its swing is theirs times sin(s)/s, s = π/4, the integral of the cosine over s."""
    found = columns(figure("crank-turn"))
    legs = found["Your legs, 120 W push (W)"]
    quick = found["Motor, torque sensor, quick average, 120 W push (W)"]
    rows = [
        row
        for row in demo.table().curve("", "pedalling.crank_turn")
        if row["law"] == "quick" and row["push"] == 120
    ]
    swing = (max(row["power"] for row in rows) - min(row["power"] for row in rows)) / 2

    assert np.mean(quick[:-1]) == pytest.approx(144, abs=1)
    assert swing == pytest.approx(
        1.2 * (max(legs) - min(legs)) / 2 * math.sin(math.pi / 4) / (math.pi / 4), rel=0.01
    )


# From standstill


def test_take_up_of_the_typical_machine() -> None:
    """360° × 4 ÷ 12 = 120° and 360° × 2 ÷ 32 = 22.5°, by hand."""
    html = figure("take-up")

    assert cells_of(html, "Cadence sensor")["Take-up angle (°)"] == 120
    assert cells_of(html, "Torque sensor")["Take-up angle (°)"] == pytest.approx(22.5, abs=0.5)


def test_take_up_is_the_bikes_figure() -> None:
    """Angle and time of every bike drawn are its figures, to the digits of the table."""
    drawn = 0
    for bike in demo.bikes():
        html = figure("take-up", bike.slug)
        if not html:
            continue
        drawn += 1
        (row,) = table(html)[1]
        found = cells_of(html, row)
        angle = demo.table().get(bike.slug, "assist.take_up_angle")
        time = demo.table().get(bike.slug, "assist.take_up_time")
        assert angle is not None
        assert time is not None
        before = time.before_rides[0] if time.before_rides else time.value
        assert found["Take-up angle (°)"] == pytest.approx(math.degrees(angle.value), abs=0.51)
        assert found["Half the help after (s)"] == pytest.approx(before, abs=0.006)
    assert drawn >= 25


def test_no_push_before_the_last_pulse_and_some_after() -> None:
    for slug in ("", "oskelm-talli", "pellimor-fenno"):
        rows = demo.table().curve(slug, "pedalling.take_up")
        for row in rows:
            if row["angle"] < row["take_up_angle"] - math.radians(15):
                assert row["force"] == 0
            if row["angle"] > row["take_up_angle"] + math.radians(30):
                assert row["force"] > 1


# When one stops


def test_run_on_is_the_bikes_figure() -> None:
    for slug in SLUGS[1:]:
        html = figure("run-on", slug)
        (row,) = table(html)[1]
        found = cells_of(html, row)
        time = demo.table().get(slug, "assist.run_on_time")
        far = demo.table().get(slug, "assist.run_on_distance")
        assert time is not None
        assert far is not None
        assert found["At rest after (s)"] == pytest.approx(time.value, abs=0.006)
        assert found["At rest after (m)"] == pytest.approx(far.value, abs=0.06)


def test_run_on_is_drawn_as_the_ride_plays_it() -> None:
    """Full push until the delay has passed, none once the fall is over, half in its middle."""
    rows = [row for row in demo.table().curve("", "pedalling.run_on") if row["law"] == "cadence"]
    delay, end = rows[1]["time"], rows[2]["time"]
    played = ride.simulate(
        rig.setup(timing=rig.timing(delay=delay, fall=end - delay)),
        step=0.005,
        duration=2.0,
        start_speed=20 / 3.6,
        pedal_until=0.5,
        record=True,
    )
    engaged = played.traces["engaged"][:, 0]
    times = 0.005 * np.arange(1, len(engaged) + 1) - 0.5

    assert engaged[times < delay - 0.01].min() == 1.0
    assert engaged[times > end + 0.01].max() == 0.0
    assert np.interp((delay + end) / 2, times, engaged) == pytest.approx(0.5, abs=0.06)


def test_us_units() -> None:
    """2 m are 6.6 ft: the foot is 0.3048 m exactly (yard and pound agreement, 1959)."""
    html = figure("run-on", "tuspen-hebb", "us")

    assert "6.6\u00a0ft" in html
    assert "At rest after (ft)" in html
    assert "mph" in figure("levels", "tuspen-hebb", "us")


# What a level means


def test_speed_levels_pull_alike_until_their_limit() -> None:
    """With a pure speed limit every level has the same power until its limit: common practice, no source."""
    heads, rows = table(figure("levels"))
    at = {head: place for place, head in enumerate(heads)}
    ten, fifteen, twenty = (at[f"W at {speed} km/h"] for speed in (10, 15, 20))

    assert rows["12 km/h"][ten] == rows["18 km/h"][ten] == rows["25 km/h"][ten] != "0"
    assert rows["12 km/h"][fifteen] == "0" != rows["18 km/h"][fifteen] == rows["25 km/h"][fifteen]
    assert rows["18 km/h"][twenty] == "0" != rows["25 km/h"][twenty]


def test_ratio_levels_multiply_the_riders_power() -> None:
    """0.6, 1.2 and 2.4 times the demo's everyday 80 W, by hand."""
    heads, rows = table(figure("levels"))
    fifteen = heads.index("W at 15 km/h")

    assert [rows[f"ratio {ratio}"][fifteen] for ratio in (0.6, 1.2, 2.4)] == ["48", "96", "192"]


def test_current_levels_are_heights() -> None:
    """More amperes give more watts, less than amperes times the 42 V of a full 36 V battery (common practice)."""
    heads, rows = table(figure("levels"))
    twenty = heads.index("W at 20 km/h")
    powers = [float(rows[f"{amps} A"][twenty]) for amps in (3, 6, 12)]

    assert powers == sorted(powers)
    assert all(watts < amps * 42 for watts, amps in zip(powers, (3, 6, 12), strict=True))
