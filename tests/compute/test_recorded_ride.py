"""Road load against a rider's power meter on recorded climbs, with nothing fitted.

Rider of 81 kg by the file's profile. Bicycle, tyres and wind were not recorded: the values below
are ordinary ones for a road bicycle, chosen before looking, so 10 % on the total is the honest
tolerance. An independent calculation of the same ride came out 2.8 % under the meter.
"""

import numpy as np
import pytest

from generator.compute import air, road
from tests.compute.recorded_ride import NotFetchedError, fetch, read

BICYCLE = {"mass": 92.0, "crr": 0.006, "cda": 0.36}
WHEELS = 1.0
"""Wheel inertia as a mass. [kg]"""
EFFICIENCY = 0.975
ALTITUDE_DELAY = 2
"""Seconds by which the barometer lags."""
SHORTEST, LONGEST = 60, 180
"""Length of a stretch. [s]"""
LEAST_GRADE = 0.03


@pytest.fixture(scope="module")
def ride(request):
    """The ride, second by second."""
    try:
        file = fetch(request.config.cache.mkdir("recorded_ride"))
    except NotFetchedError as problem:
        pytest.fail(str(problem), pytrace=False)
    return read(file)


def stretches(ride):
    """Yield slices of the ride that were pedalled throughout, 60 to 180 s long."""
    pedalled = (ride.power > 0) & (ride.cadence > 0) & (ride.speed > 1)
    edges = np.flatnonzero(np.diff(pedalled.astype(int), prepend=0, append=0))
    for start, stop in edges.reshape(-1, 2):
        for begin in range(start, stop - SHORTEST + 1, LONGEST):
            yield slice(begin, min(begin + LONGEST, stop))


def work(ride, stretch):
    """Work at the crank on a stretch as measured and as computed [J], and its mean grade."""
    late = slice(stretch.start + ALTITUDE_DELAY, stretch.stop + ALTITUDE_DELAY)
    altitude, speeds = ride.altitude[late], ride.speed[stretch]
    speed = 0.5 * (speeds[1:] + speeds[:-1])  # over each second
    grade = np.tan(np.arcsin((altitude[-1] - altitude[0]) / speed.sum()))

    density = air.density(ride.temperature[stretch].mean(), altitude=altitude.mean())
    steady = road.power(
        speed, grade=grade, air_density=density, efficiency=EFFICIENCY, **BICYCLE
    ).sum()
    faster = 0.5 * (BICYCLE["mass"] + WHEELS) * (speeds[-1] ** 2 - speeds[0] ** 2) / EFFICIENCY
    return ride.power[stretch][:-1].sum(), steady + faster, grade


@pytest.fixture(scope="module")
def climbs(ride):
    """Measured and computed work on each stretch of 3 % or more, shape (stretches, 2). [J]"""
    rows = [work(ride, stretch) for stretch in stretches(ride)]
    return np.array([row[:2] for row in rows if row[2] >= LEAST_GRADE])


def test_the_ride_is_hilly_enough(climbs):
    """There is something to check: twenty stretches and a megajoule at least."""
    assert len(climbs) >= 20
    assert climbs[:, 0].sum() >= 1e6


def test_total_work_agrees(climbs):
    """All stretches together come within 10 % of the meter."""
    measured, computed = climbs.sum(axis=0)

    assert computed == pytest.approx(measured, rel=0.10)


def test_each_stretch_agrees(climbs):
    """Each stretch comes within 15 % of the meter: 6 % of the model, and the unrecorded wind."""
    np.testing.assert_allclose(climbs[:, 1], climbs[:, 0], rtol=0.15)


def test_the_check_can_fail(climbs, ride):
    """The agreement is not blind: without the hill the computed work falls far outside."""
    flat = 0.0
    for stretch in stretches(ride):
        level = ride._replace(altitude=np.zeros_like(ride.altitude))
        if work(ride, stretch)[2] >= LEAST_GRADE:
            flat += work(level, stretch)[1]

    assert flat < 0.5 * climbs[:, 0].sum()
