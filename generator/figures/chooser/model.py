"""What the chooser works with: a reader's answers, the bikes as the rule sees them, and a ranking. SI; None is not known."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from generator.figures.chooser.wishes import Wish

ANY = "any"
ELSEWHERE = "none"
"""Region of a reader whose law is not asked."""
CELL = 100.0
"""Step of the ranges in the tables. [m]"""
GRADE_CELL = 0.001
"""Step of the grades in the tables. [-]"""


@dataclass(frozen=True)
class Answers:
    """What a reader answered, as in the address bar: ids of answers; budget in whole units of money, or empty."""

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
    """By wish; those of the tables where it has none."""


@dataclass(frozen=True)
class Candidate:
    """One bike as the rule sees it. SI; None is not known."""

    slug: str
    name: str
    status: str
    uses: tuple[str, ...]
    price: float | None
    """In the currency of the site."""
    currency: str
    """Of its price, when it is another than the site's; else empty."""
    mass: float | None
    permitted: float | None
    place: float | None
    """The most that one rated place carries. [kg]"""
    places: float | None
    """What all rated places carry together. [kg]"""
    law: Mapping[str, str]
    """Region to category, or `unknown`."""
    ranges: Mapping[tuple[str, str, str], int]
    """Rider, route and load to the range. [CELL]"""
    grades: Mapping[tuple[str, str], int]
    """Rider and load to the steepest grade held. [GRADE_CELL]"""
    range_spans: Mapping[str, tuple[float, float]]
    """Route to low and high over value of the published interval. [-]"""
    grade_span: tuple[float, float]
    figures: Mapping[str, tuple[float, float, float]]
    """Figure id to value, low and high."""


@dataclass(frozen=True)
class Region:
    id: str
    name: str
    rule: str
    ordinary: tuple[str, ...]
    """Categories that count as ordinary."""


@dataclass(frozen=True)
class Person:
    id: str
    name: str
    mass: float
    power: float
    summary: str = ""
    """Who that is, in a sentence."""


@dataclass(frozen=True)
class Road:
    id: str
    name: str
    grade: float
    """Steepest 100 m. [-]"""


@dataclass(frozen=True)
class Chooser:
    """Everything that `rank` needs; the browser gets the same."""

    bikes: tuple[Candidate, ...]
    """In the order of equal scores: by price, then by name."""
    people: tuple[Person, ...]
    roads: tuple[Road, ...]
    loads: Mapping[str, float]
    """[kg]"""
    whole: tuple[str, ...]
    """Loads that must go in one place."""
    uses: tuple[str, ...]
    regions: tuple[Region, ...]
    currency: str
    bands: tuple[int, ...]
    """Round budgets that part the bikes in about equal groups, rising."""
    conditions: Mapping[str, tuple[str, tuple[str, ...]]]
    """Wish to the question and the answers that call for it; `*` is any answer; a wish that always counts has none."""
    usual: Answers


class Fit(NamedTuple):
    wish: Wish
    measure: float | None
    """What the knots are of; None: not known."""
    fit: float
    weight: int


class Place(NamedTuple):
    bike: Candidate
    score: int
    """Of 1000."""
    fits: tuple[Fit, ...]
    doubts: tuple[str, ...]
    """Must-haves of which nothing is known."""
    close: bool
    """Is there no clear order between this bike and the one before it?"""


@dataclass(frozen=True)
class Ranking:
    places: tuple[Place, ...]
    apart: tuple[tuple[Candidate, str], ...]
    """Bikes that cannot be set against the budget, and why."""
    left: tuple[tuple[Candidate, tuple[str, ...]], ...]
    """Bikes that miss must-haves, and which."""
