"""What makers claim beside what we work out, for all bikes on one page, the widest gap first."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from markupsafe import Markup

from generator.pages.frame import urls
from generator.pages.frame.jobs import Job, seeing
from generator.pages.frame.output import Output
from generator.pages.frame.pagination import ROWS, Leaf, leaves
from generator.pages.frame.renderer import Page, Renderer
from generator.specs.bike import Bike

RANGE = "claims.range_ratio"
POWER = "claims.power_ratio"
FULL_EFFICIENCY = 0.85
"""Mechanical over battery power above which a stated power is hard to reach. [-]  Value from memory."""


@dataclass(frozen=True)
class Row:
    name: str
    href: str
    cells: list[Markup]
    words: str
    """What would make the claim true; empty where nothing is to be said."""


TITLE = "What makers claim"


@dataclass(frozen=True)
class Told:
    """What a page of the list tells of the whole catalogue."""

    leaf: Leaf
    ranges: tuple[str, ...]
    """Slugs of the bikes on the page by the gap of their range claim, the widest first."""
    powers: tuple[str, ...]
    """Likewise by that of their power claim."""
    claimed: int
    """Bikes with a range claim."""
    ordinary: int
    """Of these, those whose claim an ordinary ride would make true."""
    silent: tuple[str, ...]
    """Names of bikes without one."""
    more_silent: int
    """How many more there are."""


def jobs(renderer: Renderer) -> Iterator[Job]:
    """One for each page of the list."""
    ranges, powers = _worst_first(renderer, RANGE), _worst_first(renderer, POWER)
    told = {bike.slug for bike in ranges}
    silent = [bike.full_name for bike in renderer.table.bikes if bike.slug not in told]
    rides = [renderer.table.claims[slug] for slug in told if slug in renderer.table.claims]
    for leaf in leaves(urls.CLAIMS, max(len(ranges), len(powers))):
        own = [leaf.of(ranges), leaf.of(powers)]
        first, second = (tuple(bike.slug for bike in bikes) for bikes in own)
        page = Told(
            leaf,
            first,
            second,
            len(ranges),
            sum(ride.verdict == "ordinary" for ride in rides),
            tuple(silent[:ROWS]) if leaf.first else (),
            max(0, len(silent) - ROWS),
        )
        bikes = {bike.slug: bike for some in own for bike in some}
        yield seeing(renderer, list(bikes.values()), partial(_leaf, page), page)


def _leaf(page: Told, renderer: Renderer) -> Iterator[Output]:
    leaf = page.leaf
    default = next((route for route in renderer.content.routes if route.default), None)
    route = default or next(iter(renderer.content.routes), None)
    computed = f"range.{route.id}" if route else ""
    bikes = {bike.slug: bike for bike in renderer.table.bikes}

    def rows(
        slugs: Sequence[str], ids: tuple[str, ...], words: Callable[[Renderer, Bike], str]
    ) -> list[Row]:
        return [
            _row(renderer, bikes[slug], leaf.path, ids, words(renderer, bikes[slug]))
            for slug in slugs
        ]

    yield renderer.render_page(
        Page(
            path=leaf.path,
            template="claims.html",
            title=TITLE if leaf.first else f"{TITLE}, {leaf.span}",
            description="Every claimed range and power beside what we work out, the widest gap first, and the ride that "
            "would make each claim true.",
            above=() if leaf.first else ((TITLE, urls.CLAIMS),),
            values={
                "leaf": leaf,
                "route": route.name if route else "",
                "ranges": rows(page.ranges, (RANGE, "claims.range", computed), range_words),
                "claimed": page.claimed,
                "powers": rows(page.powers, (POWER, "spec.peak_power", "motor.peak_power"), _power),
                "silent": list(page.silent),
                "more_silent": page.more_silent,
                "ordinary": page.ordinary,
            },
        )
    )


def range_words(renderer: Renderer, bike: Bike) -> str:
    """The ride that would make a bike's range claim true, in a sentence; empty when nothing is claimed."""
    ride = renderer.table.claims.get(bike.slug)
    return ride.words if ride else ""


def _power(renderer: Renderer, bike: Bike) -> str:
    ratio = renderer.table.get(bike.slug, POWER)
    if ratio is None:
        return ""
    if ratio.value > 1.0:
        return "More than the battery can give with the current that is stated."
    if ratio.value > FULL_EFFICIENCY:
        return "Of mechanical power, that would ask for a motor with hardly any loss; of battery power, it fits."
    return "It fits what the battery can give."


def _worst_first(renderer: Renderer, figure_id: str) -> list[Bike]:
    found = renderer.table.column(figure_id)
    bikes = [bike for bike in renderer.table.bikes if bike.slug in found]
    return sorted(bikes, key=lambda bike: -found[bike.slug].value)


def _row(renderer: Renderer, bike: Bike, path: str, ids: tuple[str, ...], words: str) -> Row:
    return Row(
        bike.full_name,
        urls.link(path, urls.bike(bike.slug) + "#claimed"),
        [renderer.number(renderer.table.get(bike.slug, each), path) for each in ids],
        words,
    )
