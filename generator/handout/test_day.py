"""The sheet for a test day: what to measure on a bike, how, what to expect, and where to write it down.

The methods are those of `content/pages/testing.md` in a line each. What is written down goes back into the bike's file
as the lines that the sheet prints, blanks filled.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from generator.content.model import Route
from generator.figures import show, units
from generator.figures.model import Figure, Input, Scale, Unit
from generator.pages.frame import cautions
from generator.pages.frame.numbers import in_system
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike, Stated

BLANK = "____"
DAY = "____-__-__"
ROUTES = 4
"""Routes that have room on the sheet."""
_LEVEL = re.compile(r"(?:^|; )level ([^;]+)")

SAFE = (
    "No traffic, a second person who waves people away, helmet and gloves on. Local law holds during tests too.",
    "Check brakes, axles and tyres first. The bike stays as it was sold: nothing altered, no limit raised.",
    "Brake tests only on closed, dry, level ground, after practice stops that grow harder. A wheel that locks or lifts "
    "twice ends the test. If it feels wrong, stop.",
)
METHOD = (
    "Tests: at least three times each; the middle value counts, the smallest and the largest go into the note.",
    "Rides: full battery at the start, usual pace, every stop of the route. Energy from the bike's display, or from a "
    "meter at the wall less the charger's loss; say which.",
)


@dataclass(frozen=True)
class Test:
    what: str
    """As the bike's file calls it."""
    title: str
    how: str
    expect: tuple[str, ...]
    unit: str
    method: str
    """Filled in beforehand in the line for the file."""
    conditions: str
    """With blanks."""

    @property
    def line(self) -> str:
        return (
            f'- {{what: {self.what}, value: "{BLANK} {self.unit}", date: {DAY}, '
            f'method: "{self.method}", conditions: "{self.conditions}"}}'
        )


@dataclass(frozen=True)
class Ride:
    title: str
    how: str
    expect: tuple[str, ...]
    line: str


@dataclass(frozen=True)
class TestDay:
    tests: tuple[Test, ...]
    rides: tuple[Ride, ...]
    cautions: tuple[str, ...]
    units: dict[str, str]
    """Unit of each blank at the top of the sheet."""
    file: str
    has_tests: bool
    """Does the file have a list of tests already?"""
    has_rides: bool

    def lines(self) -> str:
        """What goes into the bike's file."""
        parts = []
        for key, found, there in (
            ("tests", self.tests, self.has_tests),
            ("rides", self.rides, self.has_rides),
        ):
            if found:
                head = f"# beneath `{key}:`, which the file has already" if there else f"{key}:"
                parts += [head, *(f"  {each.line}" for each in found)]
        return "\n".join(parts) + "\n"


def test_day(renderer: Renderer, bike: Bike) -> TestDay:
    """The sheet of one bike, in the publication's units."""
    sheet = _Sheet(renderer, bike)
    metric = renderer.system == "metric"
    return TestDay(
        tuple(sheet.tests()),
        tuple(sheet.rides()),
        tuple(dict.fromkeys((*SAFE, *cautions.beside("feel", bike), cautions.BATTERY))),
        {
            "mass": _symbol(units.MASS, renderer.system),
            "pressure": "bar" if metric else "psi",
            "wind": _symbol(units.WIND, renderer.system),
            "temperature": "°C" if metric else "°F",
            "distance": _symbol(units.DISTANCE, renderer.system),
            "speed": _symbol(units.SPEED, renderer.system),
        },
        bike.file,
        bool(bike.tests),
        bool(bike.rides),
    )


class _Sheet:
    def __init__(self, renderer: Renderer, bike: Bike) -> None:
        self._renderer = renderer
        self._bike = bike
        self._system = renderer.system
        self._known = renderer.table.of(bike.slug)

    def tests(self) -> Iterator[Test]:
        metric = self._system == "metric"
        bike, pressure = self._bike, "bar" if metric else "psi"
        speed = "20 km/h" if metric else "12 mph"
        length, least, most = ("m", "300", "600 m") if metric else ("ft", "1000", "2000 ft")
        weather = f"{BLANK} {'°C' if metric else '°F'}, wind {BLANK} {'m/s' if metric else 'mph'}"
        yield Test(
            "mass",
            "Mass",
            "Hanging scale, checked with a known mass. As sold, with pedals and battery, without bags.",
            self._stated(bike.mass, "spec.mass"),
            "kg" if metric else "lb",
            "hanging scale, as sold, three times",
            f"size {BLANK}, with {BLANK}",
        )
        yield Test(
            "rollout",
            "Rollout",
            "Chalk and steel tape. Valve down, five turns in a straight line, rider aboard; divide by five.",
            (*self._stated(bike.wheels.rollout, ""), *self._rolls()),
            "mm" if metric else "in",
            "five turns, rider aboard, chalk and tape",
            f"{BLANK} {pressure}, {BLANK}",
        )
        yield Test(
            "top assisted speed",
            "Top assisted speed",
            f"Satellite receiver. Level, closed to traffic, {least} {length} and more; highest level, both ways, mean.",
            self._stated(bike.motor.assisted_speed, "spec.assisted_speed"),
            "km/h" if metric else "mph",
            "satellite receiver, both ways, mean",
            f"level {BLANK}, {weather}",
        )
        yield Test(
            "take-up angle",
            "Take-up angle",
            "Marked circle behind the crank, or film. Middle level, one foot down, ten slow pushes.",
            self._figure("assist.take_up_angle"),
            "°",
            "film of the crank, ten pushes, middle value",
            f"level {BLANK}, level ground",
        )
        yield Test(
            "hill time",
            "Hill time",
            f"Watch. Even grade, {least} to {most}, seated, one level, rolling start; length and height known.",
            self._on_hills(),
            "s",
            "watch, rolling start, seated",
            f"{BLANK} {length} at {BLANK} %, level {BLANK}, rider {BLANK} {'kg' if metric else 'lb'}, {weather}",
        )
        yield Test(
            "braking distance",
            "Braking distance",
            f"Tape from cone to front axle. Closed ground, steady {speed}, both brakes, six stops.",
            ("Nothing is computed or claimed. Never convert it to another speed.",),
            "m" if metric else "ft",
            f"from {speed}, both brakes, six stops, tape",
            f"dry {BLANK}, total mass {BLANK} {'kg' if metric else 'lb'}",
        )

    def rides(self) -> Iterator[Ride]:
        """One for each route that the bike has a consumption for."""
        routes = self._renderer.content.routes
        for route in sorted(routes, key=lambda each: not each.default)[:ROUTES]:
            energy = self._known.get(f"energy.{route.id}")
            level = _LEVEL.search(energy.conditions) if energy else None
            if energy and level:
                yield self._ride(route, energy, level[1])

    def _ride(self, route: Route, energy: Figure, level: str) -> Ride:
        metric = self._system == "metric"
        distance, speed, wind = ("km", "km/h", "m/s") if metric else ("mi", "mph", "mph")
        temperature = "°C" if metric else "°F"
        length = show.quantity(route.distance[-1], self._scale(units.DISTANCE))
        rider = self._renderer.content.rider
        average = self._known.get(f"speed.{route.id}")
        return Ride(
            f"Ride: {route.name}",
            f"{length}, level {level}, once or several times.",
            tuple(self._likely(each) for each in (energy, average) if each),
            f'- {{route: {route.id}, rider: {rider.id}, level: "{level}", distance: "{BLANK} {distance}", '
            f'energy: "{BLANK} Wh", date: {DAY}, temperature: "{BLANK} {temperature}", '
            f'wind: "{BLANK} {wind}", average_speed: "{BLANK} {speed}"}}',
        )

    def _scale(self, unit: Unit) -> Scale:
        return unit.metric if self._system == "metric" else unit.us

    def _stated(self, stated: Stated | None, figure_id: str) -> tuple[str, ...]:
        """What the maker or we have said of it, in the publication's units where a figure is taken from it."""
        if stated is None:
            return ("not stated",)
        figure = self._known.get(figure_id)
        words = show.text(figure, self._system) if figure else stated.text
        return (f"{stated.basis}: {words}",)

    def _figure(self, figure_id: str) -> tuple[str, ...]:
        figure = self._known.get(figure_id)
        if figure is None:
            return ("not computed",)
        return (f"{figure.basis}: {self._likely(figure)}",)

    def _likely(self, figure: Figure) -> str:
        """A figure with its interval, which stays on one line."""
        return in_system(figure, self._system, True).replace("–", "\u2060–\u2060")

    def _rolls(self) -> tuple[str, ...]:
        """What the tyre's size lets one expect, where the rollout itself was not measured."""
        found = next(
            (
                used.given
                for figure in self._known.values()
                for used in self._renderer.table.working(figure).inputs
                if used.given.id == "wheels.circumference"
            ),
            None,
        )
        if found is None or found.basis == "measured":
            return ()
        return (f"from the size: {self._input(found)}",)

    def _input(self, used: Input) -> str:
        scale = self._scale(units.CIRCUMFERENCE)
        low, high = (
            show.digits(edge * scale.factor, scale.decimals) for edge in (used.low, used.high)
        )
        return f"{show.quantity(used.value, scale)}, likely {low}–{high}"

    def _on_hills(self) -> tuple[str, ...]:
        found = []
        for figure_id, grade in (("hills.speed_6", "6 %"), ("hills.speed_10", "10 %")):
            if figure := self._known.get(figure_id):
                found.append(f"{grade}: {self._likely(figure)}")
        return tuple(found) or ("not computed",)


def _symbol(unit: Unit, system: show.System) -> str:
    return (unit.metric if system == "metric" else unit.us).unit
