"""The demo publication, read once: its bikes, routes, riders and all its figures."""

import functools

from generator.content.model import Content
from generator.content.read import read_content
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.tabulate import tabulate
from generator.specs.bike import Bike
from generator.specs.read import read_bikes
from tests.project import ROOT


@functools.cache
def bikes() -> tuple[Bike, ...]:
    return read_bikes(ROOT)[0]


@functools.cache
def content() -> Content:
    found, problems = read_content(ROOT)
    assert found is not None, problems
    return found


@functools.cache
def table() -> FiguresTable:
    return tabulate(bikes(), content())


def bike(slug: str) -> Bike:
    return next(each for each in bikes() if each.slug == slug)


def some(*slugs: str) -> tuple[Bike, ...]:
    return tuple(bike(slug) for slug in slugs)


UNLIKE = ("oskelm-talli", "pellimor-fenno", "karnoot-dromm", "wubrin-oddru")
"""A cadence hub, a mid drive, a 750 W hub and a direct drive."""
