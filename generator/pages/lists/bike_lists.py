"""The list of all bikes, and one for each use: whole pages, which a script lets readers filter and sort."""

from collections.abc import Iterator
from functools import partial
from typing import Any

from generator.figures.criteria.running_lists import rule_of
from generator.pages.compare import page as compare_page
from generator.pages.compare.pairs import Pairs
from generator.pages.frame import pagination, structured_data, urls
from generator.pages.frame.jobs import Job, seeing
from generator.pages.frame.output import Output
from generator.pages.frame.pagination import Leaf
from generator.pages.frame.renderer import Page, Renderer
from generator.pages.lists import bike_table, columns
from generator.pages.lists.bike_table import Shelf

MOST_LISTS = 8
"""Running lists that the page of all bikes names."""


def jobs(renderer: Renderer, pairs: Pairs) -> Iterator[Job]:
    """Columns of the tables, then one for each page of a list."""
    yield from columns.jobs(renderer)
    by_use = bike_table.by_use(renderer)
    choices = _choices(renderer)
    bikes = bike_table.ordered(renderer.table.bikes, renderer.settings.currency)
    uses = [(bike_table.title(use), urls.use(use), len(own)) for use, own in by_use.items()]
    lists = [
        (each.title, urls.running_list(each.slug))
        for each in renderer.content.lists
        if rule_of(each, renderer.table.kinds)
    ][:MOST_LISTS]
    for leaf in pagination.leaves(urls.BIKES, len(bikes)):
        told = leaf, choices, uses, lists
        yield seeing(renderer, leaf.of(bikes), partial(_bikes, *told), *told)
    for use, own in by_use.items():
        path = urls.use(use)
        for leaf in pagination.leaves(path, len(own)):
            more = compare_page.listed(pairs, use, path) if leaf.first else ([], 0)
            told_of_use = use, leaf, choices, more
            yield seeing(renderer, leaf.of(own), partial(_use, *told_of_use), *told_of_use)


def _choices(renderer: Renderer) -> list[tuple[str, str, list[str]]]:
    """Name, words and answers of each question that tells at least two bikes apart."""
    found: dict[str, set[str]] = {id: set() for id in columns.CHOICES}
    for row in columns.rows(renderer).values():
        for id, answer in columns.chosen(row).items():
            found[id] |= set(answer) if id == "use" else {answer}
    return [
        (id, words.format(region=renderer.settings.region), sorted(filter(None, found[id])))
        for id, words in columns.CHOICES.items()
        if len(found[id]) > 1
    ]


def _bikes(
    leaf: Leaf, choices: list[Any], uses: list[Any], lists: list[Any], renderer: Renderer
) -> Iterator[Output]:
    one = bike_table.shelf(renderer, "Bikes", "", leaf)
    values = {
        "choices": choices,
        "uses": [(title, urls.link(one.path, path), count) for title, path, count in uses],
        "lists": [(title, urls.link(one.path, path)) for title, path in lists],
    }
    yield renderer.render_page(
        _list(
            renderer,
            one,
            template="bikes.html",
            description=f"{leaf.span}, with their main figures.",
            above=(("Bikes", urls.BIKES),),
            values=values,
        )
    )


def _use(
    use: str, leaf: Leaf, choices: list[Any], pairs: tuple[list[Any], int], renderer: Renderer
) -> Iterator[Output]:
    one = bike_table.shelf(renderer, bike_table.title(use), use, leaf)
    listed, more = pairs
    values = {
        "choices": [each for each in choices if each[0] != "use"],
        "pairs": listed,
        "more": more,
    }
    yield renderer.render_page(
        _list(
            renderer,
            one,
            template="use.html",
            description=f"Electric bicycles {one.title.lower()}: {leaf.span} side by side.",
            above=(("Bikes", urls.BIKES), (one.title, urls.use(use))),
            values=values,
        )
    )


def _list(
    renderer: Renderer,
    one: Shelf,
    *,
    template: str,
    description: str,
    above: tuple[tuple[str, str], ...],
    values: dict[str, Any],
) -> Page:
    """`above` ends with the list's first page, which stands above the others only."""
    return Page(
        path=one.path,
        template=template,
        title=one.title if one.leaf.first else f"{one.title}, {one.leaf.span}",
        description=description,
        above=above[:-1] if one.leaf.first else above,
        data=(
            structured_data.item_list([renderer.address(urls.bike(row.slug)) for row in one.rows]),
        ),
        scripts=("filter",),
        values={
            "shelf": one,
            "order": bike_table.ORDER,
            "currency": renderer.settings.currency,
            "rows": pagination.ROWS,
            "most": compare_page.MOST,
            **values,
        },
    )
