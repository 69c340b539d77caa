"""Data of the figures: their kinds, registered once, their values for each bike, and the inputs behind them."""

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
class FigureKind:
    """A figure as registered, without the value of any bike."""

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


class UsedInput(NamedTuple):
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


class WeighedInput(NamedTuple):
    """An input of a figure with its share of the variance."""

    given: UsedInput
    share: float = 0.0
    """Share of the figure's variance, 0 to 1."""


@dataclass(frozen=True)
class Working:
    """How one figure of one bike was worked out."""

    inputs: tuple[WeighedInput, ...] = ()
    """Inputs, the largest share first."""
    steps: tuple[str, ...] = ()
    """The formula with numbers put in, one line each."""


class FirstInputUse(NamedTuple):
    """An input of a bike, with the id of the first figure that used it."""

    figure: str
    given: UsedInput


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of one bike. All numbers in SI, rounded to six significant digits."""

    bike: str
    kind: FigureKind
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
    """A remark for the reader, such as an update by own rides."""
    before_rides: tuple[float, float, float] | None = None
    """Value, low and high without the update by the reviewers' own rides; None if there was no update."""

    @property
    def id(self) -> str:
        return self.kind.id

    @property
    def unridden(self) -> "Figure | None":
        """The figure without the update by our own rides; None if there was no update."""
        if self.before_rides is None:
            return None
        value, low, high = self.before_rides
        return replace(self, value=value, low=low, high=high)
