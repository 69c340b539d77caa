"""The figures table: the one place where pages, charts, lists and downloads get numbers."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar

from generator.figures.chooser.grid import Grid
from generator.figures.model import Figure, FirstUse, Input, Kind, Unit, Working
from generator.figures.rides.claim_rides import ClaimRide
from generator.figures.rides.own_rides import RideCheck
from generator.figures.rides.ride_grid import RideGrid
from generator.figures.table.details import Behind
from generator.figures.uncertainty.what_if import Effect
from generator.specs.bike import Bike

if TYPE_CHECKING:
    import pandas as pd


V = TypeVar("V")

COLUMNS = ("bike", "figure", "value", "unit", "low", "high", "basis")


@dataclass(frozen=True)
class FiguresTable:
    """All figures of all bikes."""

    bikes: tuple[Bike, ...]
    kinds: dict[str, Kind]
    """By id, in the order of the registry."""
    figures: dict[str, dict[str, Figure]]
    """By slug, then by id."""
    missing: dict[str, dict[str, tuple[str, ...]]]
    """By slug, then by id of a figure that could not be worked out: titles of the inputs that lack."""
    behind: Behind = field(repr=False)
    """What the figures came from, and what is shown beside them."""
    rides: tuple[RideCheck, ...] = ()
    """The reviewers' own rides beside the model."""
    claims: dict[str, ClaimRide] = field(default_factory=dict)
    """Under which ride each bike's range claim would come true, by slug."""
    effects: dict[str, dict[str, list[Effect]]] = field(default_factory=dict)
    """What moves each headline figure, by slug and figure id; scaled as our own rides moved the figure."""
    uses: dict[str, dict[str, FirstUse]] = field(default_factory=dict, repr=False)
    """By slug and id of an input: the first figure that used it."""
    grid: Callable[[], Grid] = field(default=Grid, repr=False)
    """Range and steepest grade by rider, route and load, for the chooser; worked out when first asked for."""
    marks: Mapping[str, str] = field(default_factory=dict)
    """By slug, where it is known: hash of the spec file that all of this was made from."""

    def bike(self, slug: str) -> Bike | None:
        return self._by_slug.get(slug)

    @cached_property
    def _by_slug(self) -> dict[str, Bike]:
        return {bike.slug: bike for bike in reversed(self.bikes)}

    @cached_property
    def names(self) -> tuple[tuple[str, str, str], ...]:
        """Slug, maker and name of each bike."""
        return tuple((bike.slug, bike.maker, bike.name) for bike in self.bikes)

    def place(self, slug: str) -> int:
        """Of a bike among all, counted from 0."""
        return self._places[slug]

    @cached_property
    def _places(self) -> dict[str, int]:
        return {bike.slug: place for place, bike in enumerate(self.bikes)}

    def only(self, *slugs: str) -> "FiguresTable":
        """The table of these bikes alone, with the kinds of all."""

        def mine(given: Mapping[str, V]) -> dict[str, V]:
            return {slug: given[slug] for slug in slugs if slug in given}

        return replace(
            self,
            bikes=tuple(bike for slug in slugs if (bike := self.bike(slug))),
            figures=mine(self.figures),
            missing=mine(self.missing),
            rides=tuple(ride for slug in slugs for ride in self._rides.get(slug, ())),
            claims=mine(self.claims),
            effects=mine(self.effects),
            uses=mine(self.uses),
            grid=Grid,
            marks=mine(self.marks),
        )

    @cached_property
    def _rides(self) -> dict[str, list[RideCheck]]:
        found: dict[str, list[RideCheck]] = {}
        for ride in self.rides:
            found.setdefault(ride.bike, []).append(ride)
        return found

    def get(self, slug: str, figure_id: str) -> Figure | None:
        return self.figures.get(slug, {}).get(figure_id)

    def of(self, slug: str) -> dict[str, Figure]:
        """All figures of a bike, in the order of the registry."""
        return self.figures.get(slug, {})

    def column(self, figure_id: str) -> dict[str, Figure]:
        """One figure of all bikes that have it, by slug."""
        return {
            slug: figures[figure_id]
            for slug, figures in self.figures.items()
            if figure_id in figures
        }

    def users(self, input_id: str) -> list[tuple[str, Input]]:
        """The bikes that an input moved, by slug, each with what the first figure used of it."""
        found = ((bike.slug, self.uses.get(bike.slug, {}).get(input_id)) for bike in self.bikes)
        return [(slug, used.given) for slug, used in found if used]

    def ranked(self, figure_id: str, unit: Unit) -> list[float]:
        """Values of one figure of all bikes that have it in this unit, such as one currency, smallest first."""
        key = (figure_id, unit)
        if key not in self._ranked:
            found = self.column(figure_id).values()
            self._ranked[key] = sorted(each.value for each in found if each.kind.unit == unit)
        return self._ranked[key]

    @cached_property
    def _ranked(self) -> dict[tuple[str, Unit], list[float]]:
        return {}

    def curve(self, slug: str, name: str) -> list[dict[str, Any]]:
        """Rows of a chart, in SI; empty when the bike lacks what they need. KeyError for an unknown name."""
        return self.behind.curve(slug, name)

    def working(self, figure: Figure) -> Working:
        """How a figure was worked out; empty where it is taken from the spec file as it is."""
        return self.behind.workings(figure.bike).get(figure.id, Working())

    def ride_grid(self, slug: str) -> RideGrid | None:
        """Consumption and speed for any rider and weather; None where the bike lacks an input."""
        return self.behind.ride_grid(slug)

    def records(self) -> list[tuple[str, str, float, str, float, float, str]]:
        """Long form, in the order of `COLUMNS`."""
        return [
            (slug, id, each.value, each.kind.unit.si, each.low, each.high, each.basis)
            for slug, figures in self.figures.items()
            for id, each in figures.items()
        ]

    def frame(self) -> "pd.DataFrame":
        """Long form; one row per bike and figure."""
        import pandas as pd

        return pd.DataFrame(self.records(), columns=list(COLUMNS))
