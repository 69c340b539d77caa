"""The sheet for a test day: what to measure on a bike, how, and what to expect, with blanks for the results.

The methods are those of `content/pages/testing.md` in a line each. What is written down goes back into the bike's file
as the lines of `test-day.yaml`, blanks filled.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from generator.content.model import Route
from generator.figures import show, units
from generator.figures.model import Figure, Scale, Unit, UsedInput
from generator.pages.frame.numbers import format_in_system
from generator.pages.frame.renderer import Renderer
from generator.pages.notices import cautions
from generator.specs.bike import Bike, Stated

BLANK = "____"
DAY = "____-__-__"
ROUTES = 4
"""Most routes on the sheet."""
_LEVEL = re.compile(r"(?:^|; )level ([^;]+)")

SAFE = (
    "No traffic, a second person who waves people away, helmet and gloves on. Local law holds during tests too.",
    "Check brakes, axles and tyres first. The bike stays as it was sold: nothing altered, no limit raised.",
    "Brake tests only on closed, dry, level ground, after practice stops that grow harder. A wheel that locks or lifts "
    "twice ends the test. If it feels wrong, stop.",
)
METHOD = (
    "Tests: at least three times each; the middle value counts, the smallest and the largest go into the note.",
    "Rides: once or several times; full battery at the start, usual pace, every stop of the route. Energy from the "
    "bike's display, or from a meter at the wall less the charger's loss; say which.",
)


@dataclass(frozen=True)
class PlannedTest:
    """One test to make."""

    what: str
    """Its name in the bike's file."""
    title: str
    how: str
    expect: tuple[str, ...]
    unit: str
    method: str
    """The method as printed in the line for the file."""
    conditions: str
    """With blanks."""
    noted: str = ""
    """Conditions of this test alone, with blanks; those of the whole day stand at the top of the sheet."""

    @property
    def line(self) -> str:
        return (
            f'- {{what: {self.what}, value: "{BLANK} {self.unit}", date: {DAY}, '
            f'method: "{self.method}", conditions: "{self.conditions}"}}'
        )


@dataclass(frozen=True)
class PlannedRide:
    """One route to ride."""

    title: str
    how: str
    expect: tuple[str, ...]
    line: str


@dataclass(frozen=True)
class TestDay:
    """The sheet of one bike."""

    tests: tuple[PlannedTest, ...]
    rides: tuple[PlannedRide, ...]
    cautions: tuple[str, ...]
    units: dict[str, str]
    """Unit of each blank at the top of the sheet."""
    file: str
    has_tests: bool
    """Whether the bike's file has a list of tests already."""
    has_rides: bool

    def format_lines(self) -> str:
        """Lines for the bike's file, with blanks."""
        parts = []
        for key, found, there in (
            ("tests", self.tests, self.has_tests),
            ("rides", self.rides, self.has_rides),
        ):
            if found:
                head = f"# beneath `{key}:`, which the file has already" if there else f"{key}:"
                parts += [head, *(f"  {each.line}" for each in found)]
        return "\n".join(parts) + "\n"


def build_test_day(renderer: Renderer, bike: Bike) -> TestDay:
    """The sheet of one bike in the publication's units."""
    builder = _TestDayBuilder(renderer, bike)
    metric = renderer.system == "metric"
    return TestDay(
        tuple(builder.plan_tests()),
        tuple(builder.plan_rides()),
        tuple(dict.fromkeys((*SAFE, *cautions.find_cautions("feel", bike), cautions.BATTERY))),
        {
            "mass": _unit_symbol(units.MASS, renderer.system),
            "pressure": "bar" if metric else "psi",
            "wind": _unit_symbol(units.WIND, renderer.system),
            "temperature": "°C" if metric else "°F",
            "distance": _unit_symbol(units.DISTANCE, renderer.system),
            "speed": _unit_symbol(units.SPEED, renderer.system),
        },
        bike.file,
        bool(bike.tests),
        bool(bike.rides),
    )


class _TestDayBuilder:
    def __init__(self, renderer: Renderer, bike: Bike) -> None:
        self._renderer = renderer
        self._bike = bike
        self._system = renderer.system
        self._known = renderer.table.figures_of(bike.slug)

    def plan_tests(self) -> Iterator[PlannedTest]:
        metric = self._system == "metric"
        bike, pressure = self._bike, "bar" if metric else "psi"
        speed = "20 km/h" if metric else "12 mph"
        length, least, most = ("m", "300", "600 m") if metric else ("ft", "1000", "2000 ft")
        weather = f"{BLANK} {'°C' if metric else '°F'}, wind {BLANK} {'m/s' if metric else 'mph'}"
        yield PlannedTest(
            "mass",
            "Mass",
            "Hanging scale, checked with a known mass. As sold, with pedals and battery, without bags.",
            self._describe_stated(bike.mass, "spec.mass"),
            "kg" if metric else "lb",
            "hanging scale, as sold, three times",
            f"size {BLANK}, with {BLANK}",
            f"Size {BLANK}, with {BLANK}",
        )
        yield PlannedTest(
            "rollout",
            "Rollout",
            "Chalk and steel tape. Valve down, five turns in a straight line, rider aboard; divide by five.",
            (*self._describe_stated(bike.wheels.rollout, ""), *self._expect_rollout()),
            "mm" if metric else "in",
            "five turns, rider aboard, chalk and tape",
            f"{BLANK} {pressure}, {BLANK}",
        )
        yield PlannedTest(
            "top assisted speed",
            "Top assisted speed",
            f"Satellite receiver. Level, closed to traffic, {least} {length} and more; highest level, both ways, mean.",
            self._describe_stated(bike.motor.assisted_speed, "spec.assisted_speed"),
            "km/h" if metric else "mph",
            "satellite receiver, both ways, mean",
            f"level {BLANK}, {weather}",
            f"Level {BLANK}",
        )
        yield PlannedTest(
            "take-up angle",
            "Take-up angle",
            "Marked circle behind the crank, or film. Middle level, one foot down, ten slow pushes.",
            self._describe_figure("assist.take_up_angle"),
            "°",
            "film of the crank, ten pushes, middle value",
            f"level {BLANK}, level ground",
            f"Level {BLANK}",
        )
        yield PlannedTest(
            "hill time",
            "Hill time",
            f"Watch. Even grade, {least} to {most}, seated, one level, rolling start; length and height known.",
            self._expect_hill_speeds(),
            "s",
            "watch, rolling start, seated",
            f"{BLANK} {length} at {BLANK} %, level {BLANK}, rider {BLANK} {'kg' if metric else 'lb'}, {weather}",
            f"{BLANK} {length} at {BLANK} %, level {BLANK}",
        )
        yield PlannedTest(
            "braking distance",
            "Braking distance",
            f"Tape from cone to front axle. Closed ground, steady {speed}, both brakes, six stops.",
            ("Nothing is computed or claimed. Never convert it to another speed.",),
            "m" if metric else "ft",
            f"from {speed}, both brakes, six stops, tape",
            f"dry {BLANK}, total mass {BLANK} {'kg' if metric else 'lb'}",
        )

    def plan_rides(self) -> Iterator[PlannedRide]:
        """A ride for each route that the bike has a consumption for, the default route first."""
        routes = self._renderer.content.routes
        for route in sorted(routes, key=lambda each: not each.default)[:ROUTES]:
            energy = self._known.get(f"energy.{route.id}")
            level = _LEVEL.search(energy.conditions) if energy else None
            if energy and level:
                yield self._plan_ride(route, energy, level[1])

    def _plan_ride(self, route: Route, energy: Figure, level: str) -> PlannedRide:
        metric = self._system == "metric"
        distance, speed, wind = ("km", "km/h", "m/s") if metric else ("mi", "mph", "mph")
        temperature = "°C" if metric else "°F"
        length = show.format_quantity(route.distance[-1], self._choose_scale(units.DISTANCE))
        rider = self._renderer.content.rider
        average = self._known.get(f"speed.{route.id}")
        return PlannedRide(
            route.name[:1].upper() + route.name[1:],
            f"{length}, level {level}.",
            tuple(self._format_likely(each) for each in (energy, average) if each),
            f'- {{route: {route.id}, rider: {rider.id}, level: "{level}", distance: "{BLANK} {distance}", '
            f'energy: "{BLANK} Wh", date: {DAY}, temperature: "{BLANK} {temperature}", '
            f'wind: "{BLANK} {wind}", average_speed: "{BLANK} {speed}"}}',
        )

    def _choose_scale(self, unit: Unit) -> Scale:
        return unit.metric if self._system == "metric" else unit.us

    def _describe_stated(self, stated: Stated | None, figure_id: str) -> tuple[str, ...]:
        """The stated value with its basis, in the publication's units if a figure has it."""
        if stated is None:
            return ("not stated",)
        figure = self._known.get(figure_id)
        words = show.format_figure(figure, self._system) if figure else stated.text
        return (f"{stated.basis}: {words}",)

    def _describe_figure(self, figure_id: str) -> tuple[str, ...]:
        figure = self._known.get(figure_id)
        if figure is None:
            return ("not computed",)
        return (f"{figure.basis}: {self._format_likely(figure)}",)

    def _format_likely(self, figure: Figure) -> str:
        """A figure with its interval, which stays on one line."""
        return _unbroken(format_in_system(figure, self._system, True))

    def _expect_rollout(self) -> tuple[str, ...]:
        """The rollout expected from the tyre's size; empty if it was measured."""
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
        return (f"from the size: {self._format_input(found)}",)

    def _format_input(self, used: UsedInput) -> str:
        scale = self._choose_scale(units.CIRCUMFERENCE)
        low, high = (
            show.format_digits(edge * scale.factor, scale.decimals)
            for edge in (used.low, used.high)
        )
        return _unbroken(f"{show.format_quantity(used.value, scale)}, likely {low}–{high}")

    def _expect_hill_speeds(self) -> tuple[str, ...]:
        found = []
        for figure_id, grade in (("hills.speed_6", "6 %"), ("hills.speed_10", "10 %")):
            if figure := self._known.get(figure_id):
                found.append(f"{grade}: {self._format_likely(figure)}")
        return tuple(found) or ("not computed",)


def _unit_symbol(unit: Unit, system: show.UnitSystem) -> str:
    return (unit.metric if system == "metric" else unit.us).unit


def _unbroken(interval: str) -> str:
    """The same words, with no end of a line before or after a dash."""
    return interval.replace("–", "\u2060–\u2060")
