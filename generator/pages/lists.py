"""The list of all bikes, and one for each use: whole pages, which a script lets readers filter and sort."""

from collections.abc import Iterator
from functools import partial
from typing import Any

from generator.pages import columns, compare, jsonld, leaves, places, shelf
from generator.pages.crew import Job
from generator.pages.output import Output
from generator.pages.pairs import Pairs
from generator.pages.press import Press, Sheet
from generator.pages.shelf import Shelf

MOST_LISTS = 8
"""Running lists that the page of all bikes names."""


def jobs(press: Press, pairs: Pairs) -> Iterator[Job]:
    """Columns of the tables, and the tables."""
    yield from columns.jobs(press)
    yield Job(partial(_tables, press, pairs))


def _tables(press: Press, pairs: Pairs) -> Iterator[Output]:
    by_use = shelf.by_use(press)
    choices = _choices(press)
    bikes = shelf.ordered(press.table.bikes, press.settings.currency)
    uses = [(shelf.title(use), places.use(use), len(own)) for use, own in by_use.items()]
    for one in shelf.shelves(press, "Bikes", "", bikes, places.BIKES):
        yield press.printed(_bikes(press, one, choices, uses))
    for use, own in by_use.items():
        for one in shelf.shelves(press, shelf.title(use), use, own, places.use(use)):
            yield press.printed(_use(press, pairs, one, choices))


def _choices(press: Press) -> list[tuple[str, str, list[str]]]:
    """Name, words and answers of each question that tells at least two bikes apart."""
    found: dict[str, set[str]] = {id: set() for id in columns.CHOICES}
    for row in columns.rows(press).values():
        for id, answer in columns.chosen(row).items():
            found[id] |= set(answer) if id == "use" else {answer}
    return [
        (id, words.format(region=press.settings.region), sorted(filter(None, found[id])))
        for id, words in columns.CHOICES.items()
        if len(found[id]) > 1
    ]


def _bikes(press: Press, one: Shelf, choices: list[Any], uses: list[Any]) -> Sheet:
    return _list(
        press,
        one,
        template="bikes.html",
        description=f"{one.leaf.span}, with their main figures.",
        above=(("Bikes", places.BIKES),),
        values={
            "choices": choices,
            "uses": [(title, places.link(one.path, path), count) for title, path, count in uses],
            "lists": [
                (each.running.title, places.link(one.path, places.running_list(slug)))
                for slug, each in press.history.rolls.items()
            ][:MOST_LISTS],
        },
    )


def _use(press: Press, pairs: Pairs, one: Shelf, choices: list[Any]) -> Sheet:
    listed, more = compare.listed(pairs, one.use, one.path) if one.leaf.first else ([], 0)
    return _list(
        press,
        one,
        template="use.html",
        description=f"Electric bicycles {one.title.lower()}: {one.leaf.span} side by side.",
        above=(("Bikes", places.BIKES), (one.title, places.use(one.use))),
        values={
            "choices": [each for each in choices if each[0] != "use"],
            "pairs": listed,
            "more": more,
        },
    )


def _list(
    press: Press,
    one: Shelf,
    *,
    template: str,
    description: str,
    above: tuple[tuple[str, str], ...],
    values: dict[str, Any],
) -> Sheet:
    """`above` ends with the list's first page, which stands above the others only."""
    return Sheet(
        path=one.path,
        template=template,
        title=one.title if one.leaf.first else f"{one.title}, {one.leaf.span}",
        description=description,
        above=above[:-1] if one.leaf.first else above,
        data=(jsonld.item_list([press.address(places.bike(row.slug)) for row in one.rows]),),
        scripts=("filter",),
        values={
            "shelf": one,
            "order": shelf.ORDER,
            "currency": press.settings.currency,
            "rows": leaves.ROWS,
            "most": compare.MOST,
            **values,
        },
    )
