"""The figures table: the one place where pages, charts, lists and downloads get numbers."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from generator.figures.chooser.grid import ChooserGrid
from generator.figures.model import Figure, FigureKind, FirstInputUse, Unit, UsedInput, Working
from generator.figures.rides.claim_rides import ClaimRide
from generator.figures.rides.own_rides import RideCheck
from generator.figures.rides.ride_grid import RideGrid
from generator.figures.table.details import DetailsSource
from generator.figures.uncertainty.what_if import Effect
from generator.specs.bike import Bike

if TYPE_CHECKING:
    import pandas as pd


Record = tuple[str, str, float, str, float, float, str]
"""Bike, figure, value, unit, low, high and basis of one figure."""

COLUMNS = ("bike", "figure", "value", "unit", "low", "high", "basis")


@dataclass(frozen=True)
class FiguresTable:
    """All figures of all bikes."""

    bikes: tuple[Bike, ...]
    kinds: dict[str, FigureKind]
    """By id, in the order of the registry."""
    figures: dict[str, dict[str, Figure]]
    """By slug, then by id."""
    missing: dict[str, dict[str, tuple[str, ...]]]
    """By slug, then by id of a figure that could not be worked out: titles of the inputs that lack."""
    details: DetailsSource = field(repr=False)
    """How figures were worked out, rows of charts, tables behind "your ride"."""
    rides: tuple[RideCheck, ...] = ()
    """The reviewers' own rides beside the model."""
    claims: dict[str, ClaimRide] = field(default_factory=dict)
    """The ride on which each bike's range claim would come true, by slug."""
    effects: dict[str, dict[str, list[Effect]]] = field(default_factory=dict)
    """Effects on each headline figure, by slug and figure id; scaled as our own rides changed the figure."""
    uses: dict[str, dict[str, FirstInputUse]] = field(default_factory=dict, repr=False)
    """By slug and id of an input: the first figure that used it."""
    grid: Callable[[], ChooserGrid] = field(default=ChooserGrid, repr=False)
    """Range and steepest grade by rider, route and load, for the chooser; worked out when first asked for."""
    fingerprints: Mapping[str, str] = field(default_factory=dict)
    """By slug, where it is known: hash of everything that the figures of a bike depend on."""

    def bike(self, slug: str) -> Bike | None:
        return self._by_slug.get(slug)

    @cached_property
    def _by_slug(self) -> dict[str, Bike]:
        return {bike.slug: bike for bike in reversed(self.bikes)}

    @cached_property
    def names(self) -> tuple[tuple[str, str, str], ...]:
        """Slug, maker and name of each bike."""
        return tuple((bike.slug, bike.maker, bike.name) for bike in self.bikes)

    def find_index(self, slug: str) -> int:
        """Index of a bike among all."""
        return self._places[slug]

    @cached_property
    def _places(self) -> dict[str, int]:
        return {bike.slug: place for place, bike in enumerate(self.bikes)}

    def rides_of(self, slug: str) -> tuple[RideCheck, ...]:
        """The reviewers' own rides of a bike."""
        return tuple(self._rides.get(slug, ()))

    def claim_of(self, slug: str) -> ClaimRide | None:
        """The ride under which a bike's range claim would come true; None where it claims nothing."""
        return self.claims.get(slug)

    def effects_of(self, slug: str) -> dict[str, list[Effect]]:
        """What moves each headline figure of a bike, by the figure's id."""
        return self.effects.get(slug, {})

    def missing_of(self, slug: str) -> dict[str, tuple[str, ...]]:
        """Titles of the inputs that each figure of a bike lacks, by the figure's id."""
        return self.missing.get(slug, {})

    @cached_property
    def _rides(self) -> dict[str, list[RideCheck]]:
        found: dict[str, list[RideCheck]] = {}
        for ride in self.rides:
            found.setdefault(ride.bike, []).append(ride)
        return found

    def get(self, slug: str, figure_id: str) -> Figure | None:
        return self.figures.get(slug, {}).get(figure_id)

    def figures_of(self, slug: str) -> dict[str, Figure]:
        """All figures of a bike, in the order of the registry."""
        return self.figures.get(slug, {})

    def column(self, figure_id: str) -> dict[str, Figure]:
        """One figure of all bikes that have it, by slug."""
        return {
            slug: figures[figure_id]
            for slug, figures in self.figures.items()
            if figure_id in figures
        }

    def users(self, input_id: str) -> list[tuple[str, UsedInput]]:
        """Slugs of the bikes whose figures used an input, each with the input as the first figure used it."""
        found = ((bike.slug, self.uses.get(bike.slug, {}).get(input_id)) for bike in self.bikes)
        return [(slug, used.given) for slug, used in found if used]

    def list_ranked_values(self, figure_id: str, unit: Unit) -> list[float]:
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
        return self.details.curve(slug, name)

    def working(self, figure: Figure) -> Working:
        """How a figure was worked out; empty where it is taken from the spec file as it is."""
        return self.details.workings(figure.bike).get(figure.id, Working())

    def ride_grid(self, slug: str) -> RideGrid | None:
        """Consumption and speed for any rider and weather; None where the bike lacks an input."""
        return self.details.ride_grid(slug)

    def list_records(self) -> list[Record]:
        """All figures in long form, in the order of `COLUMNS`."""
        return [
            record for slug, figures in self.figures.items() for record in records_of(slug, figures)
        ]

    def make_data_frame(self) -> "pd.DataFrame":
        """All figures in long form; one row per bike and figure."""
        import pandas as pd

        return pd.DataFrame(self.list_records(), columns=list(COLUMNS))


def records_of(slug: str, figures: Mapping[str, Figure]) -> list[Record]:
    """Return the figures of one bike in long form, in the order of `COLUMNS`."""
    return [
        (slug, id, each.value, each.kind.unit.si, each.low, each.high, each.basis)
        for id, each in figures.items()
    ]
