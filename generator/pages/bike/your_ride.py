""" "Your ride" on a bike's page: the table that its script looks ranges up in, and what stands there without a script.

Ranges from the table are multiplied by the published figure over the table's own at the default settings, so own rides
count and both agree; the interval is the published one, in proportion.
"""

import math
import re
from collections.abc import Iterator
from typing import Any

import numpy as np

from generator.figures import units
from generator.figures.inputs import levels
from generator.figures.model import Figure, Scale, Unit
from generator.figures.rides import ride_grid
from generator.figures.rides.ride_grid import Array, Axes, RideGrid
from generator.pages.frame import browser_data, urls
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

FINE = 1000.0
"""Logarithms are written as whole numbers of this part: to 0.05 %."""
ANTILOGARITHMS = (-3.0, 0.1, 95)
"""First logarithm, step and number of the table that turns logarithms into numbers; a cubic errs by 1e-5 in it at most."""
HILL_WORDS = ("gentle", "rolling", "twice as hilly")
WARMTH_WORDS = ("frost", "as on the route", "warm")
EFFORTS = (
    (60, "hardly pushing"),
    (100, "an easy push"),
    (140, "a brisk push"),
    (1e9, "hard work"),
)
"""Effort below which the words hold. [W]"""
CYCLES = (
    (0.0, "new"),
    (250.0, "250 full charges old"),
    (500.0, "500 full charges old"),
    (1000.0, "1000 full charges old"),
)
CLIMB = Unit("m/m", Scale("m/km", 1000.0, 0), Scale("ft/mi", 5280.0, 0))
WHOLE_MASS = Unit("kg", Scale("kg", 1.0, 0), Scale("lb", 1 / units.POUND, 0))
WHOLE_SPEED = Unit("m/s", Scale("km/h", 3.6, 0), Scale("mph", 3600 / units.MILE, 0))


def data_path(slug: str) -> str:
    return f"bikes/{slug}/ride.js"


def values(renderer: Renderer, bike: Bike, path: str) -> dict[str, Any] | None:
    """What `parts/your_ride.html` needs; None where there is no table or no range."""
    table = renderer.table.ride_grid(bike.slug)
    if table is None or not published(renderer, bike):
        return None
    known = renderer.table.of(bike.slug)
    tables = (
        ("by level", "level", any(re.fullmatch(r"range\.\w+\.level_\d+", id) for id in known)),
        (
            "by rider",
            "rider",
            any(re.fullmatch(r"range\.\w+\.(?!level_\d)\w+", id) for id in known),
        ),
    )
    return {
        "name": bike.full_name,
        "data": data_path(bike.slug),
        "tables": [
            (words, urls.link(path, f"{path}#family-range-{of}")) for words, of, on in tables if on
        ],
    }


def of_bike(renderer: Renderer, bike: Bike) -> Iterator[Output]:
    """The data file of a bike, if it has a table."""
    table = renderer.table.ride_grid(bike.slug)
    if table is not None and (known := published(renderer, bike)):
        yield browser_data.data_file(data_path(bike.slug), data(renderer, bike, table, known))


def published(renderer: Renderer, bike: Bike) -> list[Figure | None]:
    """The range of each level on the default route, None where it is not known; empty where none is."""
    route = renderer.content.route
    found = [
        renderer.table.get(bike.slug, f"range.{route.id}.level_{number + 1}")
        for number in range(levels.count(bike))
    ]
    return found if any(found) else []


def data(
    renderer: Renderer, bike: Bike, table: RideGrid, known: list[Figure | None]
) -> dict[str, Any]:
    """The file's value; logarithms in parts of `FINE`, null where the bike would have to be pushed."""
    given = table.axes
    route, rider = renderer.content.route, renderer.content.rider
    hill, wind, warmth = given.usual
    speed = renderer.table.get(bike.slug, f"speed.{route.id}")
    found = []
    for number, figure in enumerate(known):
        if figure is None:
            continue
        home = rounded(table.logs[number, hill, wind, warmth, ride_grid.MIDDLE, ride_grid.SIDE])
        pace = 1.0
        if speed and number == levels.middle(bike) and math.isfinite(home[1]):
            pace = speed.value * math.exp(home[1])
        found.append(
            {
                "name": levels.of(bike, number).name,
                "published": [figure.value, figure.low, figure.high],
                "energy": browser_data.short(figure.value * math.exp(home[0]), 9),
                "pace": browser_data.short(pace, 6),
                "need": _whole(table.need[number]),
                "logs": _whole(beside(table.logs[number])),
            }
        )
    return {
        "name": bike.full_name,
        "route": route.name,
        "rider": rider.name,
        "middle": levels.of(bike, levels.middle(bike)).name,
        "fine": FINE,
        "antilogarithms": _antilogarithms(),
        "step": ride_grid.STEP,
        "side": ride_grid.SIDE,
        "least": ride_grid.LEAST,
        "masses": ride_grid.MASSES,
        "middle_mass": ride_grid.MIDDLE,
        "usual": {
            "mass": given.mass,
            "effort": given.effort,
            "hill": hill,
            "wind": wind,
            "warmth": warmth,
            "age": 0,
        },
        "spans": {
            "mass": [
                math.ceil(given.mass * ride_grid.MASSES[0]),
                math.floor(given.mass * ride_grid.MASSES[-1]),
            ],
            "effort": [
                math.ceil(given.effort * ride_grid.EFFORT_SPAN[0]),
                math.floor(given.effort * ride_grid.EFFORT_SPAN[1]),
            ],
        },
        "hills": [
            [given.climb * height, words]
            for height, words in zip(given.hills, _hill_words(given), strict=True)
        ],
        "winds": [
            [speed, "calm" if speed == 0.0 else "windy" if speed == given.winds[-1] else "a breeze"]
            for speed in given.winds
        ],
        "warmths": [
            [degrees, words] for degrees, words in zip(given.warmths, WARMTH_WORDS, strict=True)
        ],
        "ages": [[browser_data.short(ride_grid.age(cycles)), words] for cycles, words in CYCLES],
        "efforts": EFFORTS,
        "capacity": [browser_data.short(each, 5) for each in ride_grid.capacity(given)],
        "levels": found,
        "riders": [[one.name, one.mass + one.load, one.power] for one in renderer.content.riders],
        "units": {
            "distance": browser_data.unit(units.DISTANCE),
            "mass": browser_data.unit(WHOLE_MASS),
            "speed": browser_data.unit(WHOLE_SPEED),
            "wind": browser_data.unit(units.WIND),
            "climb": browser_data.unit(CLIMB),
        },
    }


def _antilogarithms() -> dict[str, Any]:
    first, step, count = ANTILOGARITHMS
    values = [browser_data.short(math.exp(first + step * each), 7) for each in range(count)]
    return {"first": first, "step": step, "values": values}


def _hill_words(given: Axes) -> tuple[str, ...]:
    return HILL_WORDS if len(given.hills) == len(HILL_WORDS) else ("as on the route",)


def rounded(logs: Any) -> list[float]:
    """Two logarithms as the file gives them."""
    return [round(float(one) * FINE) / FINE if math.isfinite(one) else math.nan for one in logs]


def beside(logs: Array) -> Array:
    """Outer masses as what they add to the middle one, since small numbers compress; shape (…, masses, 2, efforts)."""
    middle = logs[..., ride_grid.MIDDLE : ride_grid.MIDDLE + 1, :, :]
    added = logs - middle
    added[..., ride_grid.MIDDLE, :, :] = middle[..., 0, :, :]
    return np.moveaxis(added, -1, -2)


def _whole(array: Any) -> list[Any]:
    """Nested lists of whole numbers; null for what is not finite."""
    fine = np.asarray(array, float) * FINE
    known = np.isfinite(fine)
    whole = np.rint(np.where(known, fine, 0.0)).astype(int).astype(object)
    whole[~known] = None
    listed: list[Any] = whole.tolist()
    return listed
