"""The registry: every figure's definition, in the order in which pages show them.

Adding a figure is one function and the `@figure(...)` above it. With that alone it stands in the table, the downloads,
the trace and the method page.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from generator.figures.inputs.case import Case
from generator.figures.model import Kind, Unit
from generator.specs.bike import Bike

Array = NDArray[np.float64]
LevelChoice = Literal["none", "reference", "full"] | int

Parts = Callable[..., dict[str, tuple[Array, Unit]]]
"""From the case to intermediate values by name; arrays of shape (bikes, columns)."""


@dataclass(frozen=True)
class Variant:
    """One member of a family of figures: what its templates and its function are given."""

    values: tuple[tuple[str, Any], ...] = ()
    """Fill the templates `{…}` of id, title and conditions, and are the function's keyword arguments."""
    words: tuple[tuple[str, str], ...] = ()
    """Fill templates only."""
    level: LevelChoice = "none"
    """Whose inputs the derivation shows: no level, the middle one, the highest, or a number from 0."""
    rider: str | None = None
    route: str | None = None

    def fill(self, template: str) -> str:
        for name, value in (*self.values, *self.words):
            template = template.replace("{" + name + "}", str(value))
        return template


ONE = (Variant(),)


@dataclass(frozen=True)
class Definition:
    """A figure or a family of figures, as registered."""

    id: str
    function: Callable[..., Array]
    title: str
    short: str
    unit: Unit | Callable[[Case], Unit]
    unit_of: Callable[[Bike], Unit] | None
    """Where the unit depends on the bike: money in its own currency."""
    words: str
    formula: str
    source: str
    conditions: str
    worked: tuple[str, ...]
    """Lines of the derivation; `{id}` stands for an input or a figure of the same bike, `{part.name}` for an
    intermediate value, `{value}` for the result."""
    parts: Parts | None
    """Intermediate values for the derivation, called like the function."""
    sentence: Callable[[float, str], str] | None
    """From the SI value and its text to a sentence for a beginner."""
    better: Literal["higher", "lower", "neither"]
    headline: bool
    logarithmic: bool
    bounds: tuple[float, float]
    """What value and interval cannot leave. SI."""
    stated: bool
    """Taken from the spec as it stands, not computed."""
    each: Callable[[Case], Iterable[Variant]]

    def kind(self, variant: Variant, case: Case) -> Kind:
        unit = self.unit if isinstance(self.unit, Unit) else self.unit(case)
        return Kind(
            id=variant.fill(self.id),
            group=self.id.split(".")[0],
            title=variant.fill(self.title),
            short=variant.fill(self.short),
            unit=unit,
            words=self.words,
            formula=self.formula,
            source=self.source,
            conditions=variant.fill(self.conditions),
            better=self.better,
            headline=self.headline and variant.route in (None, case.route.id),
        )


@dataclass
class Registry:
    definitions: list[Definition] = field(default_factory=list)


REGISTRY = Registry()


def figure(
    id: str,
    *,
    title: str,
    unit: Unit | Callable[[Case], Unit],
    words: str,
    formula: str,
    source: str,
    short: str = "",
    conditions: str = "",
    worked: tuple[str, ...] = (),
    parts: Parts | None = None,
    sentence: Callable[[float, str], str] | None = None,
    better: Literal["higher", "lower", "neither"] = "neither",
    headline: bool = False,
    logarithmic: bool = True,
    bounds: tuple[float, float] = (-math.inf, math.inf),
    stated: bool = False,
    unit_of: Callable[[Bike], Unit] | None = None,
    each: Callable[[Case], Iterable[Variant]] = lambda case: ONE,
) -> Callable[[Callable[..., Array]], Callable[..., Array]]:
    """Register a function of the case, returning shape (bikes, columns), as a figure. See `Definition`."""

    def register(function: Callable[..., Array]) -> Callable[..., Array]:
        REGISTRY.definitions.append(
            Definition(
                id, function, title, short or title, unit, unit_of, words, formula, source, conditions, worked, parts, sentence,
                better, headline, logarithmic, bounds, stated, each,
            )
        )  # fmt: skip
        return function

    return register
