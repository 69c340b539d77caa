"""Two bikes side by side, and the list of all such pages."""

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures.model import Figure, Kind
from generator.pages import places, shelf
from generator.pages.headlines import headlines
from generator.pages.output import Output
from generator.pages.pairs import Pairs
from generator.pages.press import Press, Sheet, name_of
from generator.specs.bike import Bike


@dataclass(frozen=True)
class Row:
    title: str
    one: Markup
    other: Markup
    verdict: str
    clear: bool
    """Is there a clear difference?"""


def outputs(press: Press, pairs: Pairs) -> Iterator[Output]:
    yield press.printed(_index(press, pairs))
    for one, other in pairs.all:
        yield press.printed(_pair(press, one, other))


def _index(press: Press, pairs: Pairs) -> Sheet:
    path = places.COMPARE
    groups = []
    for use in shelf.by_use(press):
        rows = [
            (
                name_of(one),
                name_of(other),
                places.link(path, places.comparison(one.slug, other.slug)),
            )
            for one, other in pairs.all
            if use in one.uses and use in other.uses
        ]
        if rows:
            groups.append((shelf.title(use), rows))
    currency = press.settings.currency
    return Sheet(
        path=path,
        template="compare.html",
        title="Compare",
        description="Pairs of bikes for the same use at a similar price, figure by figure.",
        values={
            "groups": groups,
            "currency": currency,
            "chart": press.chart(currency, "price.range"),
        },
    )


def _pair(press: Press, one: Bike, other: Bike) -> Sheet:
    path = places.comparison(one.slug, other.slug)
    names = (name_of(one), name_of(other))
    headline: list[Row] = []
    further: list[Row] = []
    kinds = press.table.kinds.values()
    for kind in (*headlines(kinds), *(kind for kind in kinds if not kind.headline)):
        row = _row(press, kind, one, other, path)
        if row is None or kind.group == "claims" or kind.id.count(".") > 1:
            continue
        (headline if kind.headline else further).append(row)
    shared = [use for use in one.uses if use in other.uses]
    return Sheet(
        path=path,
        template="pair.html",
        title=f"{names[0]} or {names[1]}",
        description=f"{names[0]} and {names[1]} side by side: {_summary(headline)}",
        above=(("Compare", places.COMPARE),),
        values={
            "names": names,
            "bikes": (one, other),
            "hrefs": tuple(places.link(path, places.bike(bike.slug)) for bike in (one, other)),
            "uses": [(shelf.title(use), places.link(path, places.use(use))) for use in shared],
            "headline": _differences_first(headline),
            "further": _differences_first(further),
            "summary": _summary(headline),
        },
    )


def _row(press: Press, kind: Kind, one: Bike, other: Bike, path: str) -> Row | None:
    """None when neither bike has the figure."""
    left = press.table.get(one.slug, kind.id)
    right = press.table.get(other.slug, kind.id)
    if left is None and right is None:
        return None
    words, clear = verdict(left, right, one, other)
    return Row(
        kind.title,
        press.number(left, path, interval=True),
        press.number(right, path, interval=True),
        words,
        clear,
    )


def verdict(left: Figure | None, right: Figure | None, one: Bike, other: Bike) -> tuple[str, bool]:
    """What the two figures say, in words, and whether they clearly differ.

    Two figures differ clearly when their intervals do not meet.
    """
    if left is None or right is None:
        return "not known for both", False
    if left.kind.unit != right.kind.unit:
        return "not comparable", False
    if left.value == right.value:
        return "the same", False
    if left.low <= right.high and right.low <= left.high:
        return "no clear difference", False
    higher, lower = (one, other) if left.value > right.value else (other, one)
    if left.kind.better == "higher":
        return f"better: {higher.name}", True
    if left.kind.better == "lower":
        return f"better: {lower.name}", True
    return f"higher: {higher.name}", True


def _differences_first(rows: list[Row]) -> list[Row]:
    return sorted(rows, key=lambda row: not row.clear)


def _summary(rows: list[Row]) -> str:
    clear = sum(row.clear for row in rows)
    return f"{clear} of {len(rows)} main figures differ clearly."
