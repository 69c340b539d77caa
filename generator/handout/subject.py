"""Subject of a handout: a guide, a bike, or a comparison of two to four bikes.

* HandoutRequest   a request for a handout, by slugs
* read_request     from the words on the command line to a request, or to the problems with them
* HandoutSubject   everything that the parts of a handout need to know of its subject
* build_subject    from a request to its subject
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Literal

from generator.content.model import Content, Text
from generator.content.money.read import ShopLink
from generator.figures.model import Figure
from generator.handout import ties
from generator.handout.named import GuideContents, read_guide_contents
from generator.pages.bike.sections import SECTION_DEFINITIONS
from generator.pages.compare.comparison import MOST_BIKES, shorten_names
from generator.pages.compare.pairs import BikePairs
from generator.pages.frame import urls
from generator.pages.frame.headlines import select_headlines
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike
from generator.specs.english import listed
from generator.specs.problems import Problem

SubjectSort = Literal["guide", "bike", "comparison"]

FURTHER_FIGURES = (
    "range.{route}",
    "hills.speed_10",
    "battery.energy",
    "battery.charge_time",
    "battery.cost_100km",
    "spec.assisted_speed",
    "claims.range",
)
"""Ids of figures in a bike's handout after the main ones; `{route}` stands for every route."""


@dataclass(frozen=True)
class HandoutRequest:
    """A request for a handout, by slugs of one guide or of bikes."""

    sort: SubjectSort
    slugs: tuple[str, ...]

    @property
    def name(self) -> str:
        """Name of the handout's folder."""
        return "-vs-".join(self.slugs)


@dataclass(frozen=True)
class HandoutSubject:
    """The subject of a handout."""

    sort: SubjectSort
    title: str
    summary: str
    path: str
    """Path of its page, relative to the site."""
    address: str
    """Absolute address of its page."""
    bikes: tuple[Bike, ...]
    """Its bikes; for a guide, the bikes whose figures, charts or diagrams it shows."""
    figures: tuple[Figure, ...]
    """Its figures; a guide's in the order of its text, a bike's with the main ones first."""
    charts: tuple[tuple[str, str], ...] = ()
    """Name and slug of each chart."""
    diagrams: tuple[tuple[str, str], ...] = ()
    """Name and slug of each diagram; an empty slug for the typical machine."""
    sections: tuple[str, ...] = ()
    """Headings of a guide's sections."""
    text: Text | None = None
    """The guide's text; None for bikes."""
    links: tuple[ShopLink, ...] = ()
    """Links to shops that sell its bikes, and those in a guide's text."""
    disclosures: tuple[str, ...] = ()
    """Disclosures of our ties to sellers and makers; empty if there are none."""


def read_request(
    words: Iterable[str], bikes: Iterable[str], guides: Iterable[str]
) -> tuple[HandoutRequest | None, list[Problem]]:
    """The request for a guide, a bike or several bikes, named by slugs or files; `a,b` stands for `a` and `b`."""
    names = [name.strip() for word in words for name in word.split(",") if name.strip()]
    slugs = [_read_slug(name) for name in names]
    known = {"bike": sorted(bikes), "guide": sorted(guides)}
    if not slugs:
        mend = "Name a guide, a bike, or two to four bikes with commas between them"
        return None, [Problem("handout", 0, 0, "nothing is named", mend)]
    if len(slugs) == 1:
        for sort in _possible_sorts(names[0]):
            if slugs[0] in known[sort]:
                return HandoutRequest(sort, (slugs[0],)), []
        return None, [_report_unknown(slugs[0], "guide or bike", known["guide"] + known["bike"])]
    problems = [
        _report_no_bike(slug, slug in known["guide"], known["bike"])
        for slug in slugs
        if slug not in known["bike"]
    ]
    if len(slugs) > MOST_BIKES:
        what = f"{len(slugs)} bikes are too many to compare"
        problems.append(Problem("handout", 0, 0, what, f"Name two to {MOST_BIKES}"))
    twice = sorted({slug for slug in slugs if slugs.count(slug) > 1})
    problems += [
        Problem("handout", 0, 0, f"{slug!r} is named twice", "Name each bike once")
        for slug in twice
    ]
    problems = list(dict.fromkeys(problems))
    return (None if problems else HandoutRequest("comparison", tuple(slugs))), problems


def _possible_sorts(name: str) -> tuple[SubjectSort, ...]:
    """Sorts of subject that a name may mean; a folder before it decides."""
    if "guides/" in name:
        return ("guide",)
    return ("bike",) if "bikes/" in name else ("guide", "bike")


def _read_slug(name: str) -> str:
    return name.rstrip("/").rpartition("/")[2].removesuffix(".yaml").removesuffix(".md")


def _report_no_bike(name: str, guide: bool, bikes: Sequence[str]) -> Problem:
    if not guide:
        return _report_unknown(name, "bike", bikes)
    what = f"`{name}` is a guide, and only bikes can be compared"
    return Problem("handout", 0, 0, what, "Name the guide alone, or leave it out")


def _report_unknown(name: str, what: str, known: Sequence[str]) -> Problem:
    near = get_close_matches(name, known, n=3, cutoff=0.4)
    mend = "Did you mean " + " or ".join(f"`{each}`" for each in near)
    if not near:
        mend = "There are: " + ", ".join(known[:8]) + (" …" if len(known) > 8 else "")
    return Problem("handout", 0, 0, f"there is no {what} `{name}`", mend)


def build_subject(renderer: Renderer, request: HandoutRequest, pairs: BikePairs) -> HandoutSubject:
    """The subject of a request. `pairs` of all bikes tell whether two have a comparison page of their own.

    Problems in a guide's text are collected by the renderer.
    """
    addresses: tuple[str, ...] = ()
    if request.sort == "guide":
        found, addresses = _build_guide_subject(renderer, request.slugs[0])
    else:
        bikes = tuple(filter(None, (renderer.table.bike(slug) for slug in request.slugs)))
        alone = request.sort == "bike"
        found = (
            _build_bike_subject(renderer, bikes[0])
            if alone
            else _build_comparison_subject(renderer, bikes, pairs)
        )
    links = ties.find_links(renderer.content, found.bikes, addresses)
    disclosures = ties.list_disclosures(renderer.content, found.bikes, links)
    return replace(found, links=links, disclosures=tuple(disclosures))


def _build_guide_subject(renderer: Renderer, slug: str) -> tuple[HandoutSubject, tuple[str, ...]]:
    """The subject that a guide is, and the addresses that its links lead to."""
    text = next(guide for guide in renderer.content.guides if guide.slug == slug)
    path = urls.guide(slug)
    found = read_guide_contents(renderer.prose(text, path))
    figures = [each for key in found.figures if (each := renderer.table.get(*key))]
    return HandoutSubject(
        "guide",
        text.title,
        text.summary,
        path,
        renderer.address(path),
        tuple(_find_bikes(renderer, found)),
        tuple(figures),
        tuple(found.charts),
        tuple(found.diagrams),
        tuple(found.sections),
        text,
    ), tuple(found.addresses)


def _find_bikes(renderer: Renderer, found: GuideContents) -> Iterable[Bike]:
    slugs = [slug for slug, _ in found.figures]
    slugs += [slug for _, slug in (*found.charts, *found.diagrams)]
    for slug in dict.fromkeys(slugs):
        if bike := renderer.table.bike(slug):
            yield bike


def _build_bike_subject(renderer: Renderer, bike: Bike) -> HandoutSubject:
    path = urls.bike(bike.slug)
    return HandoutSubject(
        "bike",
        bike.full_name,
        bike.summary,
        path,
        renderer.address(path),
        (bike,),
        tuple(_select_figures(renderer.table.figures_of(bike.slug), renderer.content)),
        tuple((name, bike.slug) for part in SECTION_DEFINITIONS for name, _ in part.charts),
    )


def _select_figures(known: dict[str, Figure], content: Content) -> list[Figure]:
    ids = [kind.id for kind in select_headlines(figure.kind for figure in known.values())]
    for id in FURTHER_FIGURES:
        ids += [id.format(route=route.id) for route in content.routes]
    return [known[id] for id in dict.fromkeys(ids) if id in known]


def _build_comparison_subject(
    renderer: Renderer, bikes: tuple[Bike, ...], pairs: BikePairs
) -> HandoutSubject:
    kinds = select_headlines(renderer.table.kinds.values())
    figures = [
        each for kind in kinds for bike in bikes if (each := renderer.table.get(bike.slug, kind.id))
    ]
    paged = {(one.slug, other.slug) for one, other in pairs.all}
    slugs = tuple(bike.slug for bike in bikes)
    path = urls.COMPARE
    address = f"{renderer.address(path)}?bikes={','.join(slugs)}"
    if tuple(sorted(slugs)) in paged:
        path = urls.comparison(*slugs)
        address = renderer.address(path)
    return HandoutSubject(
        "comparison",
        " or ".join(bike.full_name for bike in bikes),
        f"{listed(shorten_names(bikes))} side by side.",
        path,
        address,
        bikes,
        tuple(figures),
    )
