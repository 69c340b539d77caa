"""What a figure is: its kind (registered once) and its value for one bike."""

from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

FigureBasis = Literal["claimed", "measured", "computed", "estimated"]


@dataclass(frozen=True)
class Scale:
    """How an SI value is shown in one unit system: shown = SI × factor."""

    unit: str
    """Symbol as printed; empty for a bare ratio."""
    factor: float
    decimals: int
    """Decimals shown at most; fewer when the interval is wide."""


@dataclass(frozen=True)
class Unit:
    """A dimension's SI symbol and the two ways to show it."""

    si: str
    metric: Scale
    us: Scale


@dataclass(frozen=True)
class Kind:
    """A figure as the registry knows it, the same for every bike."""

    id: str
    """Dotted, such as `range.rolling`."""
    group: str
    """First part of the id."""
    title: str
    """Such as `Range on the rolling route`."""
    short: str
    """Column head, such as `Range, rolling`."""
    unit: Unit
    words: str
    """How it is worked out, one plain sentence or two."""
    formula: str
    """In symbols, plain text."""
    source: str
    """Published source of the method."""
    conditions: str
    """What it holds for: rider, route, level, temperature, tyre pressure."""
    better: Literal["higher", "lower", "neither"] = "neither"
    headline: bool = False
    """Shown first on a bike's page and in tables."""


class Input(NamedTuple):
    """One input that a figure used."""

    id: str
    title: str
    value: float
    """SI."""
    unit: str
    """SI symbol."""
    low: float
    high: float
    basis: Literal["claimed", "measured", "assumed", "computed"]
    text: str
    """As declared, such as `60 lb`; or the value as shown."""
    source: str


class Weighed(NamedTuple):
    """An input of a figure, and the part that it plays."""

    given: Input
    share: float = 0.0
    """Of the figure's variance, 0 to 1."""


@dataclass(frozen=True)
class Working:
    """How one figure of one bike was worked out; see `FiguresTable.working`."""

    inputs: tuple[Weighed, ...] = ()
    """The strongest first."""
    steps: tuple[str, ...] = ()
    """The formula with numbers put in, one line each."""


class FirstUse(NamedTuple):
    """An input of a bike, and the first of its figures that used it."""

    figure: str
    given: Input


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of one bike. All numbers in SI, rounded to six significant digits."""

    bike: str
    kind: Kind
    value: float
    low: float
    """10th percentile; equal to value when no input is uncertain."""
    high: float
    """90th percentile."""
    basis: FigureBasis
    conditions: str
    sentence: str = ""
    """What it means, for a beginner."""
    note: str = ""
    """What the reader should know besides, such as an update by own rides."""
    before_rides: tuple[float, float, float] | None = None
    """Value, low and high without the update by the reviewers' own rides; None where there was none."""

    @property
    def id(self) -> str:
        return self.kind.id

    @property
    def unridden(self) -> "Figure | None":
        """What it was without the update by our own rides; None where there was none."""
        if self.before_rides is None:
            return None
        value, low, high = self.before_rides
        return replace(self, value=value, low=low, high=high)
