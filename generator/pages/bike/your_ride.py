"""The part "Your ride" of a bike's page: the table of ranges for its script, and what is shown without scripts.

The script scales ranges of the table by the ratio of the published figure to the table's at default settings, so own
rides count and both agree; the published interval is scaled in proportion.
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
from generator.figures.rides.ride_grid import Array, RideGrid, RideGridAxes
from generator.pages.frame import browser_data, urls
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

FINE = 1000.0
"""Logarithms are written as whole numbers of 1/FINE, which is exact to 0.05 %."""
ANTILOGARITHMS = (-3.0, 0.1, 95)
"""First logarithm, step and length of the table of antilogarithms; cubic interpolation in it errs by 1e-5 at most."""
HILL_WORDS = ("gentle", "rolling", "twice as hilly")
WARMTH_WORDS = ("frost", "as on the route", "warm")
EFFORTS = (
    (60, "hardly pushing"),
    (100, "an easy push"),
    (140, "a brisk push"),
    (1e9, "hard work"),
)
"""Effort below which the words apply [W], and the words."""
CYCLES = (
    (0.0, "new"),
    (250.0, "250 full charges old"),
    (500.0, "500 full charges old"),
    (1000.0, "1000 full charges old"),
)
"""Age of the battery in full charges, and the words for it."""
CLIMB = Unit("m/m", Scale("m/km", 1000.0, 0), Scale("ft/mi", 5280.0, 0))
WHOLE_MASS = Unit("kg", Scale("kg", 1.0, 0), Scale("lb", 1 / units.POUND, 0))
WHOLE_SPEED = Unit("m/s", Scale("km/h", 3.6, 0), Scale("mph", 3600 / units.MILE, 0))


def data_path(slug: str) -> str:
    """Return the path of a bike's data file."""
    return f"bikes/{slug}/ride.js"


def make_template_values(renderer: Renderer, bike: Bike, path: str) -> dict[str, Any] | None:
    """Return the values for `parts/your_ride.html`; None where there is no table or no range."""
    table = renderer.table.ride_grid(bike.slug)
    if table is None or not find_published_ranges(renderer, bike):
        return None
    known = renderer.table.figures_of(bike.slug)
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


def make_bike_data(renderer: Renderer, bike: Bike) -> Iterator[Output]:
    """Yield the data file of a bike, if it has a table and a range."""
    table = renderer.table.ride_grid(bike.slug)
    if table is not None and (known := find_published_ranges(renderer, bike)):
        yield browser_data.make_data_file(
            data_path(bike.slug), build_ride_data(renderer, bike, table, known)
        )


def find_published_ranges(renderer: Renderer, bike: Bike) -> list[Figure | None]:
    """Return the range of each level on the default route, None where it is not known; empty where none is known."""
    route = renderer.content.route
    found = [
        renderer.table.get(bike.slug, f"range.{route.id}.level_{number + 1}")
        for number in range(levels.count_levels(bike))
    ]
    return found if any(found) else []


def build_ride_data(
    renderer: Renderer, bike: Bike, table: RideGrid, known: list[Figure | None]
) -> dict[str, Any]:
    """Return the value of the data file; logarithms in units of 1/FINE, null where the bike would have to be pushed."""
    given = table.axes
    route, rider = renderer.content.route, renderer.content.rider
    hill, wind, warmth = given.usual
    speed = renderer.table.get(bike.slug, f"speed.{route.id}")
    found = []
    for number, figure in enumerate(known):
        if figure is None:
            continue
        home = round_logs(
            table.logs[
                number, hill, wind, warmth, ride_grid.DEFAULT_MASS_NODE, ride_grid.SIDE_NODES
            ]
        )
        pace = 1.0
        if speed and number == levels.find_middle_level(bike) and math.isfinite(home[1]):
            pace = speed.value * math.exp(home[1])
        found.append(
            {
                "name": levels.get_level(bike, number).name,
                "published": [figure.value, figure.low, figure.high],
                "energy": browser_data.round_digits(figure.value * math.exp(home[0]), 9),
                "pace": browser_data.round_digits(pace, 6),
                "need": _list_integers(table.need[number]),
                "logs": _list_integers(subtract_middle_mass(table.logs[number])),
            }
        )
    return {
        "name": bike.full_name,
        "route": route.name,
        "rider": rider.name,
        "middle": levels.get_level(bike, levels.find_middle_level(bike)).name,
        "fine": FINE,
        "antilogarithms": _list_antilogarithms(),
        "step": ride_grid.EFFORT_RATIO,
        "side": ride_grid.SIDE_NODES,
        "least": ride_grid.LEAST_CONSUMPTION,
        "masses": ride_grid.MASS_NODES,
        "middle_mass": ride_grid.DEFAULT_MASS_NODE,
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
                math.ceil(given.mass * ride_grid.MASS_NODES[0]),
                math.floor(given.mass * ride_grid.MASS_NODES[-1]),
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
        "ages": [
            [browser_data.round_digits(ride_grid.compute_age_factor(cycles)), words]
            for cycles, words in CYCLES
        ],
        "efforts": EFFORTS,
        "capacity": [
            browser_data.round_digits(each, 5) for each in ride_grid.compute_capacity_ratios(given)
        ],
        "levels": found,
        "riders": [[one.name, one.mass + one.load, one.power] for one in renderer.content.riders],
        "units": {
            "distance": browser_data.describe_unit(units.DISTANCE),
            "mass": browser_data.describe_unit(WHOLE_MASS),
            "speed": browser_data.describe_unit(WHOLE_SPEED),
            "wind": browser_data.describe_unit(units.WIND),
            "climb": browser_data.describe_unit(CLIMB),
        },
    }


def _list_antilogarithms() -> dict[str, Any]:
    first, step, count = ANTILOGARITHMS
    values = [browser_data.round_digits(math.exp(first + step * each), 7) for each in range(count)]
    return {"first": first, "step": step, "values": values}


def _hill_words(given: RideGridAxes) -> tuple[str, ...]:
    return HILL_WORDS if len(given.hills) == len(HILL_WORDS) else ("as on the route",)


def round_logs(logs: Any) -> list[float]:
    """Round logarithms to the precision of the file; NaN where they are not finite."""
    return [round(float(one) * FINE) / FINE if math.isfinite(one) else math.nan for one in logs]


def subtract_middle_mass(logs: Array) -> Array:
    """Outer masses as what they add to the middle one, since small numbers compress; shape (…, masses, 2, efforts)."""
    middle = logs[..., ride_grid.DEFAULT_MASS_NODE : ride_grid.DEFAULT_MASS_NODE + 1, :, :]
    added = logs - middle
    added[..., ride_grid.DEFAULT_MASS_NODE, :, :] = middle[..., 0, :, :]
    return np.moveaxis(added, -1, -2)


def _list_integers(array: Any) -> list[Any]:
    """Return nested lists of whole numbers in units of 1/FINE; None for what is not finite."""
    fine = np.asarray(array, float) * FINE
    known = np.isfinite(fine)
    whole = np.rint(np.where(known, fine, 0.0)).astype(int).astype(object)
    whole[~known] = None
    listed: list[Any] = whole.tolist()
    return listed
