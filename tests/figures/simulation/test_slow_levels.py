"""Levels as slow as a spec file may state them: 2 km/h is slower than a walk, and still a level."""

import math
import warnings
from dataclasses import replace

import numpy as np
import pytest

from generator.figures.kinds.assist import FOLLOW_SPEED, choose_follow_speed
from generator.figures.table.tabulate import tabulate
from generator.specs.bike import Level, Stated
from generator.specs.units import kmh
from tests.figures import demo


@pytest.mark.parametrize("limit", [2.0, 3.0, 3.5])
def test_follow_is_told_at_a_speed_that_there_is(limit: float) -> None:
    """3 km/h under the limit would be standing still at a limit of 3 km/h, and backwards at 2."""
    bike = demo.bike("oskelm-talli-s")
    slow = Level("Crawl", speed=Stated(kmh(limit), f"{limit:g} km/h"), ratio=Stated(1.0, "1"))
    bike = replace(bike, rides=(), assist=replace(bike.assist, levels=(slow,)))

    with warnings.catch_warnings():
        warnings.simplefilter("error")
        table = tabulate([bike], demo.content())

    follow = table.get(bike.slug, "assist.follow_slope")
    assert follow is not None
    assert 0.0 <= follow.value <= 1.0  # a ratio of 1, less what taper and current limit take
    rows = table.curve(bike.slug, "assist.motor_by_rider")
    assert rows
    assert all(math.isfinite(row["motor_power"]) and row["motor_power"] > 0.0 for row in rows)


def test_the_speed_for_follow() -> None:
    """Under limits from 6 km/h on it is 3 km/h less; under slower ones half, and never more than 18 km/h."""
    limits = np.array([2.0, 3.0, 6.0, 10.0, 25.0, np.inf]) * kmh(1)
    told = choose_follow_speed(limits) / kmh(1)
    assert told == pytest.approx([1.0, 1.5, 3.0, 7.0, 18.0, FOLLOW_SPEED / kmh(1)])
