"""Data of the chooser: a reader's answers, the candidate bikes, the choices on offer, and a ranking.

Values are in SI; None means not known.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from generator.figures.chooser.wishes import Wish

ANY = "any"
ELSEWHERE = "none"
"""Region of a reader who leaves the law out."""
RANGE_STEP = 100.0
"""Step in which the tables hold ranges. [m]"""
GRADE_STEP = 0.001
"""Step in which the tables hold grades. [-]"""


@dataclass(frozen=True)
class ChooserAnswers:
    """A reader's answers as the address bar holds them: ids of answers; the budget in whole units of money, or empty."""

    use: str = ANY
    trip: str = ""
    hills: str = ""
    load: str = ""
    work: str = ""
    budget: str = ""
    law: str = ELSEWHERE
    fast: str = "no"
    feel: str = ANY
    stairs: str = "no"
    weights: Mapping[str, int] = field(default_factory=dict)
    """Weight that the reader gave each wish, 0 to 4; a wish without one has `Wish.weight`."""


@dataclass(frozen=True)
class Candidate:
    """One bike with everything that the rule reads of it. SI; None means not known."""

    slug: str
    name: str
    status: str
    uses: tuple[str, ...]
    price: float | None
    """Price in the currency of the site; None if it has none in that currency."""
    currency: str
    """Currency of its price when that is not the site's; else empty."""
    mass: float | None
    permitted: float | None
    best_place_load: float | None
    """Highest load of a single rated place. [kg]"""
    all_places_load: float | None
    """Load of all rated places together. [kg]"""
    law: Mapping[str, str]
    """Legal category by region, or `unknown`."""
    ranges: Mapping[tuple[str, str, str], int]
    """Range by rider, route and load, in steps of `RANGE_STEP`."""
    grades: Mapping[tuple[str, str], int]
    """Steepest grade held by rider and load, in steps of `GRADE_STEP`."""
    range_spans: Mapping[str, tuple[float, float]]
    """Ends of the published interval of the range over its value, by route. [-]"""
    grade_span: tuple[float, float]
    figures: Mapping[str, tuple[float, float, float]]
    """Value, low and high by figure id."""


@dataclass(frozen=True)
class LawRegion:
    id: str
    name: str
    rule: str
    ordinary: tuple[str, ...]
    """Categories that count as an ordinary bicycle."""


@dataclass(frozen=True)
class RiderChoice:
    id: str
    name: str
    mass: float
    power: float
    summary: str = ""
    """Description of the rider in one sentence."""


@dataclass(frozen=True)
class RouteChoice:
    id: str
    name: str
    grade: float
    """Mean grade of the steepest 100 m. [-]"""


@dataclass(frozen=True)
class Chooser:
    """The data that a ranking needs, in Python and in the browser."""

    bikes: tuple[Candidate, ...]
    """By price, then by name: the order of bikes with equal scores."""
    riders: tuple[RiderChoice, ...]
    routes: tuple[RouteChoice, ...]
    loads: Mapping[str, float]
    """Mass by id of a load. [kg]"""
    whole: tuple[str, ...]
    """Ids of loads that must go in one place."""
    uses: tuple[str, ...]
    regions: tuple[LawRegion, ...]
    currency: str
    bands: tuple[int, ...]
    """Round prices that divide the bikes into groups of about equal size, rising."""
    conditions: Mapping[str, tuple[str, tuple[str, ...]]]
    """Question and answers that call for a wish, by wish; `*` is any answer. A wish that always counts is left out."""
    usual: ChooserAnswers


class WishFit(NamedTuple):
    wish: Wish
    measure: float | None
    """The quantity that the knots are given in, SI; None means not known."""
    fit: float
    weight: int


class RankedBike(NamedTuple):
    bike: Candidate
    score: int
    """0 to 1000."""
    fits: tuple[WishFit, ...]
    doubts: tuple[str, ...]
    """Ids of must-haves that cannot be judged."""
    close: bool
    """Whether there is no clear order between this bike and the one before it."""


@dataclass(frozen=True)
class Ranking:
    ranked: tuple[RankedBike, ...]
    set_apart: tuple[tuple[Candidate, str], ...]
    """Bikes that cannot be compared with the budget, and why: `currency` or `unpriced`."""
    left_out: tuple[tuple[Candidate, tuple[str, ...]], ...]
    """Bikes that miss must-haves, and the ids of those."""
