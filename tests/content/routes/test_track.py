"""GPX tracks: a known hill comes back from a noisy recording, and no position leaves the reader."""

import math
from dataclasses import fields
from itertools import pairwise

import numpy as np
import pytest

from generator.content.routes.profile import Profile
from generator.content.routes.track import EARTH_RADIUS, read_track, smooth_track

SPACING = 7.0
"""Distance between recorded points: one a second at 25 km/h. [m]"""


def climb(elevation: tuple[float, ...]) -> float:
    return sum(max(0.0, after - before) for before, after in pairwise(elevation))


def hill(distance: np.ndarray) -> np.ndarray:
    """Elevation of two cosine hills of 60 m within 8 km: 120 m of climbing, 4.7 % at the steepest."""
    return 30.0 * (1.0 - np.cos(2.0 * math.pi * distance / 4000.0))


def gpx(distance: np.ndarray, elevation: np.ndarray, *, latitude: float = 0.0) -> str:
    """A track due north, so that distance is the arc of the meridian on a sphere."""
    points = "".join(
        f'<trkpt lat="{latitude + math.degrees(place / EARTH_RADIUS):.9f}" lon="9.5">'
        f"<ele>{height:.2f}</ele><time>2026-10-04T08:00:00Z</time></trkpt>"
        for place, height in zip(distance, elevation, strict=True)
    )
    return (
        '<?xml version="1.0"?><gpx version="1.1" creator="test"'
        ' xmlns="http://www.topografix.com/GPX/1/1"><trk><name>Home to work</name>'
        f"<trkseg>{points}</trkseg></trk></gpx>"
    )


@pytest.mark.parametrize(("noise", "tolerance"), [(0.0, 0.005), (1.0, 0.04), (2.0, 0.10)])
def test_a_known_hill_comes_back(noise: float, tolerance: float) -> None:
    """Errors of 1 m on every point: climbing within 4 %. Unfiltered it is many times that."""
    distance = np.arange(0.0, 8000.1, SPACING)
    recorded = hill(distance) + np.random.default_rng(7).normal(0.0, noise, distance.size)
    profile, problems = read_track(gpx(distance, recorded), "content/routes/x.gpx")

    assert problems == []
    assert profile is not None
    assert profile.distance[-1] == pytest.approx(distance[-1], abs=1.0)
    assert climb(profile.elevation) == pytest.approx(120.0, rel=tolerance)
    if noise:
        assert climb(tuple(recorded)) > 3 * 120.0


def test_a_long_ramp_keeps_its_grade() -> None:
    distance = np.arange(0.0, 3000.0, SPACING)
    ramp = np.interp(distance, [0.0, 1000.0, 2000.0, 3000.0], [0.0, 0.0, 80.0, 80.0])
    grid, level = smooth_track(distance, ramp)
    grade = np.interp(1500.0, grid[1:], np.diff(level) / np.diff(grid))

    assert grade == pytest.approx(0.08, abs=1e-6)


def test_the_filter_leaves_a_parabola_as_it_is() -> None:
    """Savitzky and Golay (1964): a fit of second degree reproduces polynomials of second degree."""
    grid = np.arange(0.0, 2000.1, 20.0)
    level = 5.0 + 0.03 * grid - 2e-5 * grid**2

    assert smooth_track(grid, level)[1] == pytest.approx(level, abs=1e-9)


def test_distance_is_the_great_circle() -> None:
    """One degree of latitude is 111.195 km on a sphere of 6371.0088 km: π/180 × radius."""
    distance = np.linspace(0.0, math.radians(1.0) * EARTH_RADIUS, 2000)
    profile, _ = read_track(gpx(distance, np.zeros(2000), latitude=47.0), "x.gpx")

    assert profile is not None
    assert profile.distance[-1] == pytest.approx(111_195, abs=1.0)


def test_standing_still_adds_nothing() -> None:
    """A receiver at a red light wanders by decimetres."""
    moving = np.arange(0.0, 1000.0, SPACING)
    waiting = 1000.0 + 0.5 * np.sin(np.arange(300))
    distance = np.concatenate([moving, waiting, 1000.0 + moving])
    profile, _ = read_track(gpx(distance, np.zeros(distance.size)), "x.gpx")

    assert profile is not None
    assert profile.distance[-1] == pytest.approx(1994.0, abs=8.0)


def test_walking_pace_is_not_lost() -> None:
    """Points 1 m apart are each too close to the one before, but not to the last one kept."""
    distance = np.arange(0.0, 500.0, 1.0)
    profile, _ = read_track(gpx(distance, np.zeros(distance.size)), "x.gpx")

    assert profile is not None
    assert profile.distance[-1] == pytest.approx(499.0, abs=2.0)


def test_no_position_leaves_the_reader() -> None:
    """A profile has room for distances, elevations, surfaces and stops, and no more."""
    assert [field.name for field in fields(Profile)] == [
        "distance",
        "elevation",
        "surface",
        "stops",
    ]


def test_surface_and_stops_come_from_the_route() -> None:
    distance = np.arange(0.0, 1000.0, SPACING)
    text = gpx(distance, np.zeros(distance.size))
    profile, _ = read_track(text, "x.gpx", surface="gravel", stops=(100.0, 5000.0))

    assert profile is not None
    assert set(profile.surface) == {"gravel"}
    assert profile.stops == (100.0,)


FEW = np.array([0.0, 10.0])


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("", "not a GPX track"),
        ("<gpx>", "not a GPX track"),
        ("<html></html>", "no elevation"),
        ('<!DOCTYPE x [<!ENTITY a "b">]><gpx/>', "entities"),
        (gpx(FEW, FEW), "0.01 km long"),
        (gpx(FEW, FEW).replace("<ele>10.00</ele>", ""), "1 of the track's 2 points"),
        (gpx(FEW, FEW).replace("10.00", "nan"), "1 of the track's 2 points"),
        (gpx(np.linspace(0, 5e5, 50), np.zeros(50)), "500.00 km long"),
        (gpx(FEW, FEW).replace('lat="0', 'lat="north'), "not a GPX track"),
    ],
)
def test_a_track_that_cannot_be_used(text: str, what: str) -> None:
    profile, (problem,) = read_track(text, "content/routes/x.gpx")

    assert profile is None
    assert what in problem.what
    assert problem.file == "content/routes/x.gpx"


def test_a_cliff_is_a_warning() -> None:
    distance = np.arange(0.0, 2000.0, SPACING)
    profile, (problem,) = read_track(gpx(distance, np.where(distance < 1000, 0.0, 300.0)), "x.gpx")

    assert profile is not None
    assert problem.severity == "warning"
    assert "grade" in problem.what
