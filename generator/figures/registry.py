"""The registry: the definitions of all figures, in the order in which pages show them.

To add a figure, write one function with `@figure(...)` above it. The figure then appears in the table, the downloads,
the trace and on the method page.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from generator.figures.inputs.case import Case
from generator.figures.model import FigureKind, Unit
from generator.specs.bike import Bike

Array = NDArray[np.float64]
LevelChoice = Literal["none", "reference", "full"] | int

PartsFunction = Callable[..., dict[str, tuple[Array, Unit]]]
"""From the case to named intermediate values with their units; arrays of shape (bikes, columns)."""


@dataclass(frozen=True)
class FigureVariant:
    """One member of a family of figures: values for its templates and its function."""

    values: tuple[tuple[str, Any], ...] = ()
    """Fill `{…}` in id, title and conditions, and are the function's keyword arguments."""
    words: tuple[tuple[str, str], ...] = ()
    """Fill `{…}` only."""
    level: LevelChoice = "none"
    """Level whose inputs the derivation shows: none, the middle one, the highest, or a number from 0."""
    rider: str | None = None
    route: str | None = None

    def fill_template(self, template: str) -> str:
        for name, value in (*self.values, *self.words):
            template = template.replace("{" + name + "}", str(value))
        return template


SINGLE_VARIANT = (FigureVariant(),)


@dataclass(frozen=True)
class FigureDefinition:
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
    parts: PartsFunction | None
    """Intermediate values for the derivation; takes the arguments of `function`."""
    sentence: Callable[[float, str], str] | None
    """From the SI value and its text to a sentence for a beginner."""
    better: Literal["higher", "lower", "neither"]
    headline: bool
    logarithmic: bool
    bounds: tuple[float, float]
    """Least and greatest possible value. SI."""
    stated: bool
    """Whether it is copied from the spec file, not computed."""
    each: Callable[[Case], Iterable[FigureVariant]]

    def make_kind(self, variant: FigureVariant, case: Case) -> FigureKind:
        unit = self.unit if isinstance(self.unit, Unit) else self.unit(case)
        return FigureKind(
            id=variant.fill_template(self.id),
            group=self.id.split(".")[0],
            title=variant.fill_template(self.title),
            short=variant.fill_template(self.short),
            unit=unit,
            words=self.words,
            formula=self.formula,
            source=self.source,
            conditions=variant.fill_template(self.conditions),
            better=self.better,
            headline=self.headline and variant.route in (None, case.route.id),
        )


@dataclass
class Registry:
    """All registered figures."""

    definitions: list[FigureDefinition] = field(default_factory=list)


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
    parts: PartsFunction | None = None,
    sentence: Callable[[float, str], str] | None = None,
    better: Literal["higher", "lower", "neither"] = "neither",
    headline: bool = False,
    logarithmic: bool = True,
    bounds: tuple[float, float] = (-math.inf, math.inf),
    stated: bool = False,
    unit_of: Callable[[Bike], Unit] | None = None,
    each: Callable[[Case], Iterable[FigureVariant]] = lambda case: SINGLE_VARIANT,
) -> Callable[[Callable[..., Array]], Callable[..., Array]]:
    """Register a function of the case as a figure; it returns shape (bikes, columns). Arguments as in `FigureDefinition`."""

    def register(function: Callable[..., Array]) -> Callable[..., Array]:
        REGISTRY.definitions.append(
            FigureDefinition(
                id, function, title, short or title, unit, unit_of, words, formula, source, conditions, worked, parts, sentence,
                better, headline, logarithmic, bounds, stated, each,
            )
        )  # fmt: skip
        return function

    return register
