"""Pages of the list of all bikes and of the list of each use, which a script lets readers filter and sort."""

from collections.abc import Iterator
from typing import Any

from generator.figures.criteria.running_lists import read_list_rule
from generator.pages.compare import page as compare_page
from generator.pages.compare.pairs import BikePairs
from generator.pages.frame import pagination, structured_data, urls
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.pagination import ListPage
from generator.pages.frame.renderer import Renderer
from generator.pages.lists import bike_table, columns
from generator.pages.lists.bike_table import BikeTable

MOST_LISTS = 8
"""Most running lists named on the page of all bikes."""


def plan_jobs(renderer: Renderer, pairs: BikePairs) -> Iterator[Job]:
    """Yield jobs for the columns of the tables, then one for each page of a list."""
    yield from columns.plan_jobs(renderer)
    by_use = bike_table.group_by_use(renderer)
    choices = _list_choices(renderer)
    bikes = bike_table.sort_bikes(renderer.table.bikes, renderer.settings.currency)
    uses = [
        (bike_table.find_use_title(use), urls.use(use), len(own)) for use, own in by_use.items()
    ]
    lists = [
        (each.title, urls.running_list(each.slug))
        for each in renderer.content.lists
        if read_list_rule(each, renderer.table.kinds)
    ][:MOST_LISTS]
    for list_page in pagination.find_list_pages(urls.BIKES, len(bikes)):
        slugs = [bike.slug for bike in list_page.select_rows(bikes)]
        yield Job(_make_all, (list_page, slugs, choices, uses, lists), long=True)
    for use, own in by_use.items():
        path = urls.use(use)
        for list_page in pagination.find_list_pages(path, len(own)):
            more = compare_page.list_pairs(pairs, use, path) if list_page.first else ([], 0)
            slugs = [bike.slug for bike in list_page.select_rows(own)]
            yield Job(_make_use, (use, list_page, slugs, choices, more), long=True)


def _list_choices(renderer: Renderer) -> list[tuple[str, str, list[str]]]:
    """Id, label and answers of each choice with more than one answer among the bikes."""
    found: dict[str, set[str]] = {id: set() for id in columns.CHOICES}
    for row in columns.build_rows(renderer).values():
        for id, answer in columns.read_choices(row).items():
            found[id] |= set(answer) if id == "use" else {answer}
    return [
        (id, words.format(region=renderer.settings.region), sorted(filter(None, found[id])))
        for id, words in columns.CHOICES.items()
        if len(found[id]) > 1
    ]


def _make_all(
    renderer: Renderer,
    list_page: ListPage,
    slugs: list[str],
    choices: list[Any],
    uses: list[Any],
    lists: list[Any],
) -> Iterator[Output]:
    table = bike_table.build_table(renderer, "Bikes", "", list_page, slugs)
    values = {
        "choices": choices,
        "uses": [(title, urls.link(table.path, path), count) for title, path, count in uses],
        "lists": [(title, urls.link(table.path, path)) for title, path in lists],
    }
    yield renderer.render_page(
        _build_list_page(
            renderer,
            table,
            template="bikes.html",
            description=f"{list_page.span}, with their main figures.",
            above=(("Bikes", urls.BIKES),),
            values=values,
        )
    )


def _make_use(
    renderer: Renderer,
    use: str,
    list_page: ListPage,
    slugs: list[str],
    choices: list[Any],
    pairs: tuple[list[Any], int],
) -> Iterator[Output]:
    table = bike_table.build_table(renderer, bike_table.find_use_title(use), use, list_page, slugs)
    listed, more = pairs
    values = {
        "choices": [each for each in choices if each[0] != "use"],
        "pairs": listed,
        "more": more,
    }
    yield renderer.render_page(
        _build_list_page(
            renderer,
            table,
            template="use.html",
            description=f"Electric bicycles {table.title.lower()}: {list_page.span} side by side.",
            above=(("Bikes", urls.BIKES), (table.title, urls.use(use))),
            values=values,
        )
    )


def _build_list_page(
    renderer: Renderer,
    table: BikeTable,
    *,
    template: str,
    description: str,
    above: tuple[tuple[str, str], ...],
    values: dict[str, Any],
) -> Page:
    """A page of a list. `above` ends with the list's first page, which is dropped on that page itself."""
    return Page(
        path=table.path,
        template=template,
        title=table.title if table.list_page.first else f"{table.title}, {table.list_page.span}",
        description=description,
        above=above[:-1] if table.list_page.first else above,
        data=(
            structured_data.build_item_list(
                [renderer.address(urls.bike(row.slug)) for row in table.rows]
            ),
        ),
        scripts=("filter",),
        values={
            "table": table,
            "order": bike_table.ORDER,
            "currency": renderer.settings.currency,
            "rows": pagination.ROWS_PER_PAGE,
            "most": compare_page.MOST_BIKES,
            **values,
        },
    )
