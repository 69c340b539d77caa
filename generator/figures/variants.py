"""Families of figures: one per route, per level, per rider."""

from collections.abc import Iterator

from generator.figures.inputs import levels
from generator.figures.inputs.case import Case
from generator.figures.registry import Variant


def most_levels(case: Case) -> int:
    return max((levels.count(bike) for bike in case.bikes), default=1)


def routes(case: Case) -> Iterator[Variant]:
    """Middle level, default rider, each route."""
    for route in case.content.routes:
        yield Variant(
            (("route", route.id), ("rider", case.rider.id)),
            (("route_name", route.name), ("rider_name", case.rider.name)),
            "reference",
            route=route.id,
        )


def routes_levels(case: Case) -> Iterator[Variant]:
    """Each route at each level, default rider; levels counted from 1 in ids."""
    for route in case.content.routes:
        for level in range(most_levels(case)):
            yield Variant(
                (("route", route.id), ("level", level + 1), ("rider", case.rider.id)),
                (("route_name", route.name), ("rider_name", case.rider.name)),
                level,
                route=route.id,
            )


def routes_riders(case: Case) -> Iterator[Variant]:
    """Each route with each rider but the default one, middle level."""
    for route in case.content.routes:
        for rider in case.content.riders:
            if rider.id != case.rider.id:
                yield Variant(
                    (("route", route.id), ("rider", rider.id)),
                    (("route_name", route.name), ("rider_name", rider.name)),
                    "reference",
                    rider=rider.id,
                    route=route.id,
                )


def every_level(case: Case) -> Iterator[Variant]:
    for level in range(most_levels(case)):
        yield Variant((("level", level + 1),), (), level)


def reference(case: Case) -> Iterator[Variant]:
    yield Variant(level="reference")


def full(case: Case) -> Iterator[Variant]:
    yield Variant(level="full")
