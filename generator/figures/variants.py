"""Families of figures: one per route, per level, per rider."""

from collections.abc import Iterator

from generator.figures.inputs import levels
from generator.figures.inputs.case import Case
from generator.figures.registry import FigureVariant


def find_most_levels(case: Case) -> int:
    return max((levels.count_levels(bike) for bike in case.bikes), default=1)


def vary_route(case: Case) -> Iterator[FigureVariant]:
    """One variant per route, at the middle level with the default rider."""
    for route in case.content.routes:
        yield FigureVariant(
            (("route", route.id), ("rider", case.rider.id)),
            (("route_name", route.name), ("rider_name", case.rider.name)),
            "reference",
            route=route.id,
        )


def vary_route_and_level(case: Case) -> Iterator[FigureVariant]:
    """One variant per route and level, with the default rider; ids count levels from 1."""
    for route in case.content.routes:
        for level in range(find_most_levels(case)):
            yield FigureVariant(
                (("route", route.id), ("level", level + 1), ("rider", case.rider.id)),
                (("route_name", route.name), ("rider_name", case.rider.name)),
                level,
                route=route.id,
            )


def vary_route_and_rider(case: Case) -> Iterator[FigureVariant]:
    """One variant per route and rider other than the default one, at the middle level."""
    for route in case.content.routes:
        for rider in case.content.riders:
            if rider.id != case.rider.id:
                yield FigureVariant(
                    (("route", route.id), ("rider", rider.id)),
                    (("route_name", route.name), ("rider_name", rider.name)),
                    "reference",
                    rider=rider.id,
                    route=route.id,
                )


def vary_level(case: Case) -> Iterator[FigureVariant]:
    for level in range(find_most_levels(case)):
        yield FigureVariant((("level", level + 1),), (), level)


def use_reference_level(case: Case) -> Iterator[FigureVariant]:
    yield FigureVariant(level="reference")


def use_full_level(case: Case) -> Iterator[FigureVariant]:
    yield FigureVariant(level="full")
