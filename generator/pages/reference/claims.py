"""The list of makers' claims beside our figures, for all bikes, the widest gap first."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from generator.pages.frame import urls
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.pagination import ROWS_PER_PAGE, ListPage, find_list_pages
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike

RANGE = "claims.range_ratio"
POWER = "claims.power_ratio"
FULL_EFFICIENCY = 0.85
"""Ratio of mechanical to battery power above which a stated power is hard to reach. [-]  Value from memory."""


@dataclass(frozen=True)
class ClaimRow:
    """The claim of one bike."""

    name: str
    href: str
    cells: list[Markup]
    words: str
    """What would make the claim true; empty where there is nothing to say."""


TITLE = "What makers claim"


@dataclass(frozen=True)
class ClaimsPage:
    """What one page of the list shows of the whole catalogue."""

    list_page: ListPage
    ranges: tuple[str, ...]
    """Slugs of the bikes with a range claim on this page, the widest gap first."""
    powers: tuple[str, ...]
    """Slugs of the bikes with a power claim on this page, the widest gap first."""
    claimed: int
    """Number of bikes with a range claim."""
    ordinary: int
    """Number of bikes whose range claim an ordinary ride would make true."""
    silent: tuple[str, ...]
    """Names of bikes without a range claim, on the first page only."""
    more_silent: int
    """Number of bikes without a range claim that are not named."""


def plan_jobs(renderer: Renderer) -> Iterator[Job]:
    """Yield a job for each page of the list."""
    ranges, powers = _sort_by_gap(renderer, RANGE), _sort_by_gap(renderer, POWER)
    with_claim = {bike.slug for bike in ranges}
    silent = [bike.full_name for bike in renderer.table.bikes if bike.slug not in with_claim]
    rides = [ride for slug in with_claim if (ride := renderer.table.claim_of(slug))]
    for list_page in find_list_pages(urls.CLAIMS, max(len(ranges), len(powers))):
        own = [list_page.select_rows(ranges), list_page.select_rows(powers)]
        first, second = (tuple(bike.slug for bike in bikes) for bikes in own)
        page = ClaimsPage(
            list_page,
            first,
            second,
            len(ranges),
            sum(ride.verdict == "ordinary" for ride in rides),
            tuple(silent[:ROWS_PER_PAGE]) if list_page.first else (),
            max(0, len(silent) - ROWS_PER_PAGE),
        )
        yield Job(_make_list_page, (page,))


def _make_list_page(renderer: Renderer, page: ClaimsPage) -> Iterator[Output]:
    list_page = page.list_page
    default = next((route for route in renderer.content.routes if route.default), None)
    route = default or next(iter(renderer.content.routes), None)
    computed = f"range.{route.id}" if route else ""
    bikes = {bike.slug: bike for bike in renderer.bikes([*page.ranges, *page.powers])}

    def make_rows(
        slugs: Sequence[str], ids: tuple[str, ...], words: Callable[[Renderer, Bike], str]
    ) -> list[ClaimRow]:
        return [
            _make_row(renderer, bikes[slug], list_page.path, ids, words(renderer, bikes[slug]))
            for slug in slugs
        ]

    yield renderer.render_page(
        Page(
            path=list_page.path,
            template="claims.html",
            title=TITLE if list_page.first else f"{TITLE}, {list_page.span}",
            description="Every claimed range and power beside what we work out, the widest gap first, and the ride that "
            "would make each claim true.",
            above=() if list_page.first else ((TITLE, urls.CLAIMS),),
            values={
                "list_page": list_page,
                "route": route.name if route else "",
                "ranges": make_rows(
                    page.ranges, (RANGE, "claims.range", computed), describe_range_claim
                ),
                "claimed": page.claimed,
                "powers": make_rows(
                    page.powers,
                    (POWER, "spec.peak_power", "motor.peak_power"),
                    _describe_power_claim,
                ),
                "silent": list(page.silent),
                "more_silent": page.more_silent,
                "ordinary": page.ordinary,
            },
        )
    )


def describe_range_claim(renderer: Renderer, bike: Bike) -> str:
    """Describe the ride that would make a bike's range claim true, in a sentence; empty without a claim."""
    ride = renderer.table.claim_of(bike.slug)
    return ride.words if ride else ""


def _describe_power_claim(renderer: Renderer, bike: Bike) -> str:
    ratio = renderer.table.get(bike.slug, POWER)
    if ratio is None:
        return ""
    if ratio.value > 1.0:
        return "More than the battery can give with the current that is stated."
    if ratio.value > FULL_EFFICIENCY:
        return "Of mechanical power, that would ask for a motor with hardly any loss; of battery power, it fits."
    return "It fits what the battery can give."


def _sort_by_gap(renderer: Renderer, figure_id: str) -> list[Bike]:
    found = renderer.table.column(figure_id)
    bikes = [bike for bike in renderer.table.bikes if bike.slug in found]
    return sorted(bikes, key=lambda bike: -found[bike.slug].value)


def _make_row(
    renderer: Renderer, bike: Bike, path: str, ids: tuple[str, ...], words: str
) -> ClaimRow:
    return ClaimRow(
        bike.full_name,
        urls.link(path, urls.bike(bike.slug) + "#claimed"),
        [renderer.number(renderer.table.get(bike.slug, each), path) for each in ids],
        words,
    )
