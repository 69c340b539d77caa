"""Effects of rider, wind, temperature, route and level on headline figures.

These are choices, not uncertainties: each setting is changed alone, the rest stays as in the figure's conditions.
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
"""Ids, as registered, of the figures for which effects are computed."""


@dataclass(frozen=True)
class VariedSetting:
    """A condition that a rider may choose or meet, with a low and a high value. SI."""

    title: str
    unit: Unit
    little: float
    much: float
    apply: Callable[[Content, float], Content]


@dataclass(frozen=True)
class Effect:
    """Effect of one setting on one figure of one bike. SI."""

    title: str
    little: str
    """The setting, such as `55 kg`."""
    much: str
    at_little: float
    at_much: float


def _change_riders(change: Callable[[Rider, float], Rider]) -> Callable[[Content, float], Content]:
    return lambda content, value: replace(
        content, riders=tuple(change(rider, value) for rider in content.riders)
    )


def _change_routes(change: Callable[[Route, float], Route]) -> Callable[[Content, float], Content]:
    return lambda content, value: replace(
        content, routes=tuple(change(route, value) for route in content.routes)
    )


VARIED_SETTINGS = (
    VariedSetting("Rider's mass", units.MASS, 55.0, 100.0, _change_riders(lambda one, value: replace(one, mass=value))),
    VariedSetting("Rider's effort", units.POWER, 40.0, 150.0, _change_riders(lambda one, value: replace(one, power=value))),
    VariedSetting("Wind", units.WIND, 0.0, 5.0, _change_routes(lambda one, value: replace(one, wind=value))),
    VariedSetting(
        "Temperature", units.TEMPERATURE, -5.0, 30.0, _change_routes(lambda one, value: replace(one, temperature=value))
    ),
)  # fmt: skip


def _compute_nominal(case: Case) -> Iterator[tuple[str, dict[str, float]]]:
    """Id of each figure in `FIGURES`, with its values at the nominal inputs by slug."""
    for definition in REGISTRY.definitions:
        if definition.id not in FIGURES:
            continue
        for variant in definition.each(case):
            if variant.route not in (None, case.route.id):
                continue
            values = definition.function(case, **dict(variant.values))
            yield (
                variant.fill_template(definition.id),
                {bike.slug: float(values[index, 0]) for index, bike in enumerate(case.bikes)},
            )


def find_effects(
    case: Case, found: dict[str, dict[str, Figure]]
) -> dict[str, dict[str, list[Effect]]]:
    """Return the effects on each figure in `FIGURES`, by slug and figure id, the strongest first, without those of nothing."""
    bikes, content = case.bikes, case.content
    effects: dict[str, dict[str, list[Effect]]] = {bike.slug: {} for bike in bikes}
    default = content.route.id
    for setting in VARIED_SETTINGS:
        low = dict(_compute_nominal(case.with_content(setting.apply(content, setting.little))))
        high = dict(_compute_nominal(case.with_content(setting.apply(content, setting.much))))
        for id in low:
            for slug, figures in found.items():
                if id in figures:
                    known = _find_ride_factor(figures[id])
                    _add_effect(
                        effects[slug],
                        id,
                        Effect(
                            setting.title,
                            show.format_in_both_systems(setting.little, setting.unit),
                            show.format_in_both_systems(setting.much, setting.unit),
                            known * low[id][slug],
                            known * high[id][slug],
                        ),
                    )
    for bike in bikes:
        _add_known_effects(effects[bike.slug], bike, default, content, found[bike.slug])
        for listed in effects[bike.slug].values():
            listed.sort(key=lambda each: -abs(each.at_much - each.at_little))
    return effects


def _find_ride_factor(figure: Figure) -> float:
    """Factor by which our own rides changed a figure; taken to hold for other settings too. [-]"""
    before = figure.before_rides
    return figure.value / before[0] if before and before[0] else 1.0


def _add_effect(effects: dict[str, list[Effect]], id: str, effect: Effect) -> None:
    if abs(effect.at_much - effect.at_little) > 1e-6 * max(abs(effect.at_much), 1e-9):
        effects.setdefault(id, []).append(effect)


def _add_known_effects(
    effects: dict[str, list[Effect]],
    bike: Bike,
    default: str,
    content: Content,
    figures: dict[str, Figure],
) -> None:
    """Add the effects of route and level, which are figures already."""
    id = f"range.{default}"
    by_route = [
        (route.name, figures[f"range.{route.id}"].value)
        for route in content.routes
        if f"range.{route.id}" in figures
    ]
    if len(by_route) > 1:
        least, most = min(by_route, key=lambda one: one[1]), max(by_route, key=lambda one: one[1])
        _add_effect(effects, id, Effect("Route", most[0], least[0], most[1], least[1]))
    first, last = f"{id}.level_1", f"{id}.level_{len(bike.assist.levels)}"
    if first in figures and last in figures and first != last:
        names = bike.assist.levels
        _add_effect(
            effects,
            id,
            Effect(
                "Level", names[0].name, names[-1].name, figures[first].value, figures[last].value
            ),
        )
