"""What is computed for each bike alone, for files that are about all bikes."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from generator.figures.table.figures_table import FiguresTable
from generator.pages.frame.memo import BikeMemo
from generator.pages.frame.recorder import Source
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike
from tests.pages import site_example as example

ALPA, BETA, GAMMA, DELTA = (bike.slug for bike in example.BIKES)
FIGURE = example.KINDS[0].id


def renderer(memo: BikeMemo | None = None) -> Renderer:
    return Renderer(example.table(), example.CONTENT, Path("nowhere"), memo=memo)


def test_values_come_by_slug_in_the_order_of_the_bikes() -> None:
    def compute(alone: Renderer, bike: Bike) -> float | None:
        figure = alone.table.get(bike.slug, FIGURE)
        return figure and figure.value

    found = renderer().for_each_bike("range", float | None, compute)  # type: ignore[arg-type]  # a union is no class

    assert found == {ALPA: 40_000.0, BETA: 90_000.0, GAMMA: 60_000.0, DELTA: None}
    assert list(found) == [bike.slug for bike in example.BIKES]


def test_a_computation_may_ask_for_what_all_bikes_have_in_common() -> None:
    def compute(alone: Renderer, bike: Bike) -> str:
        content = alone.content
        common = (content.rider, content.riders, content.route, content.routes, alone.settings)
        own = alone.table.bike(bike.slug), alone.table.figures_of(bike.slug), alone.table.kinds
        return f"{common} {own} {alone.day}"

    assert len(set(renderer().for_each_bike("common", str, compute).values())) == 4


STRANGE: list[tuple[Callable[[Renderer], object], str]] = [
    (lambda alone: alone.table.bike(BETA), f"('bike', '{BETA}')"),
    (lambda alone: alone.table.get(BETA, FIGURE), f"('bike', '{BETA}')"),
    (lambda alone: alone.table.column(FIGURE), f"('column', '{FIGURE}')"),
    (lambda alone: alone.table.users("bike.mass"), "('users', 'bike.mass')"),
    (lambda alone: alone.table.names, "('names', '')"),
    (lambda alone: alone.table.bikes, "('table', '')"),
    (lambda alone: alone.table.figures, "('table', '')"),
    (lambda alone: alone.content.guides, "('content.guides', '')"),
    (lambda alone: alone.history.releases, "('content.releases', '')"),
    (lambda alone: alone.page_titles, "('content.page_index', '')"),
]


@pytest.mark.parametrize(("ask", "named"), STRANGE, ids=range(len(STRANGE)))
def test_a_computation_that_asks_for_anything_else_is_refused(
    ask: Callable[[Renderer], object], named: str
) -> None:
    """A value that was kept would not be computed again when the answer changes."""
    with pytest.raises(AssertionError, match=rf"^strange asks for \[.*{re.escape(named)}"):
        renderer().for_each_bike("strange", str, lambda alone, bike: str(ask(alone)))


def test_a_value_is_kept_by_all_that_it_may_depend_on() -> None:
    def key(
        table: FiguresTable, slug: str = BETA, *more: object, content=example.CONTENT
    ) -> str | None:
        return BikeMemo.key(Source(table, content), slug, *more)

    prints = {bike.slug: bike.slug for bike in example.BIKES}
    table = replace(example.table(), fingerprints=prints)
    before = key(table)

    assert before is not None
    for other in (
        key(table, ALPA),
        key(table, BETA, "more"),
        key(replace(table, fingerprints={**prints, BETA: "another"})),
        key(replace(table, kinds={})),
        key(table, content=replace(example.CONTENT, riders=(replace(example.RIDER, mass=80.0),))),
        key(
            table,
            content=replace(
                example.CONTENT,
                settings=replace(example.SETTINGS, updated=date(2026, 12, 1)),
            ),
        ),
    ):
        assert other not in (None, before)
    assert key(replace(table, fingerprints={**prints, ALPA: "another"})) == before
    assert key(table, content=replace(example.CONTENT, guides=())) == before
    assert key(example.table()) is None


def test_a_memo_is_asked_with_name_bikes_and_what_values_depend_on() -> None:
    """So that a build can hand in one that keeps values."""
    asked: list[tuple[object, ...]] = []

    class Noting(BikeMemo):
        def get_or_compute(self, source, slugs, name, kind, compute, *more):
            asked.append((list(slugs), name, kind, more))
            return super().get_or_compute(source, slugs, name, kind, compute, *more)

    found = renderer(Noting()).for_each_bike("slugs", str, lambda alone, bike: bike.slug, 1, "a")

    slugs = [bike.slug for bike in example.BIKES]
    assert list(found.values()) == slugs
    assert asked == [(slugs, "slugs", str, (1, "a"))]
