"""What moves a headline figure: the same figure with another rider, wind, temperature, route or level.

Not uncertainty but choice: each setting is changed alone, the rest stays as the figure's conditions say.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from generator.content.model import Content, Rider, Route
from generator.figures import show, units
from generator.figures.inputs.case import Case
from generator.figures.model import Figure, Unit
from generator.figures.registry import REGISTRY
from generator.specs.bike import Bike

FIGURES = ("range.{route}", "hills.steepest")
"""Ids, as registered, of the figures for which it is told."""


@dataclass(frozen=True)
class Setting:
    """One thing that a rider may choose or meet, with a little and a lot of it."""

    title: str
    unit: Unit
    little: float
    much: float
    apply: Callable[[Content, float], Content]


@dataclass(frozen=True)
class Effect:
    """What one setting does to one figure of one bike. SI."""

    title: str
    little: str
    """The setting, such as `55 kg`."""
    much: str
    at_little: float
    at_much: float


def _rider(change: Callable[[Rider, float], Rider]) -> Callable[[Content, float], Content]:
    return lambda content, value: replace(
        content, riders=tuple(change(rider, value) for rider in content.riders)
    )


def _route(change: Callable[[Route, float], Route]) -> Callable[[Content, float], Content]:
    return lambda content, value: replace(
        content, routes=tuple(change(route, value) for route in content.routes)
    )


SETTINGS = (
    Setting("Rider's mass", units.MASS, 55.0, 100.0, _rider(lambda one, value: replace(one, mass=value))),
    Setting("Rider's effort", units.POWER, 40.0, 150.0, _rider(lambda one, value: replace(one, power=value))),
    Setting("Wind", units.WIND, 0.0, 5.0, _route(lambda one, value: replace(one, wind=value))),
    Setting(
        "Temperature", units.TEMPERATURE, -5.0, 30.0, _route(lambda one, value: replace(one, temperature=value))
    ),
)  # fmt: skip


def _nominal(case: Case) -> Iterator[tuple[str, dict[str, float]]]:
    """Value by slug of each figure that is told, at the nominal inputs."""
    for definition in REGISTRY.definitions:
        if definition.id not in FIGURES:
            continue
        for variant in definition.each(case):
            if variant.route not in (None, case.route.id):
                continue
            values = definition.function(case, **dict(variant.values))
            yield (
                variant.fill(definition.id),
                {bike.slug: float(values[index, 0]) for index, bike in enumerate(case.bikes)},
            )


def effects(case: Case, found: dict[str, dict[str, Figure]]) -> dict[str, dict[str, list[Effect]]]:
    """Return what moves each told figure, by slug and figure id, the strongest first; what moves nothing is left out."""
    bikes, content = case.bikes, case.content
    told: dict[str, dict[str, list[Effect]]] = {bike.slug: {} for bike in bikes}
    default = content.route.id
    for setting in SETTINGS:
        low = dict(_nominal(case.otherwise(setting.apply(content, setting.little))))
        high = dict(_nominal(case.otherwise(setting.apply(content, setting.much))))
        for id in low:
            for slug, figures in found.items():
                if id in figures:
                    known = _by_rides(figures[id])
                    _tell(
                        told[slug],
                        id,
                        Effect(
                            setting.title,
                            show.in_both(setting.little, setting.unit),
                            show.in_both(setting.much, setting.unit),
                            known * low[id][slug],
                            known * high[id][slug],
                        ),
                    )
    for bike in bikes:
        _tell_known(told[bike.slug], bike, default, content, found[bike.slug])
        for listed in told[bike.slug].values():
            listed.sort(key=lambda each: -abs(each.at_much - each.at_little))
    return told


def _by_rides(figure: Figure) -> float:
    """What our own rides have multiplied a figure by; taken to hold for other settings too. [-]"""
    before = figure.before_rides
    return figure.value / before[0] if before and before[0] else 1.0


def _tell(told: dict[str, list[Effect]], id: str, effect: Effect) -> None:
    if abs(effect.at_much - effect.at_little) > 1e-6 * max(abs(effect.at_much), 1e-9):
        told.setdefault(id, []).append(effect)


def _tell_known(
    told: dict[str, list[Effect]],
    bike: Bike,
    default: str,
    content: Content,
    figures: dict[str, Figure],
) -> None:
    """Hills and level are figures already."""
    id = f"range.{default}"
    by_route = [
        (route.name, figures[f"range.{route.id}"].value)
        for route in content.routes
        if f"range.{route.id}" in figures
    ]
    if len(by_route) > 1:
        least, most = min(by_route, key=lambda one: one[1]), max(by_route, key=lambda one: one[1])
        _tell(told, id, Effect("Route", most[0], least[0], most[1], least[1]))
    first, last = f"{id}.level_1", f"{id}.level_{len(bike.assist.levels)}"
    if first in figures and last in figures and first != last:
        names = bike.assist.levels
        _tell(
            told,
            id,
            Effect(
                "Level", names[0].name, names[-1].name, figures[first].value, figures[last].value
            ),
        )
