"""What a handout is about: a guide, a bike, or two to four bikes side by side.

* Wanted   what was asked for, by its files
* wanted   from the words on the command line to that, or to what is wrong with them
* Subject  the same with everything that the parts of a handout say of it
* subject  makes one
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Literal

from generator.content.model import Content, Text
from generator.content.money.read import ShopLink
from generator.figures.model import Figure
from generator.handout import ties
from generator.handout.named import Named, named
from generator.pages.bike.sections import PARTS
from generator.pages.compare.comparison import MOST, called
from generator.pages.compare.differences import listed
from generator.pages.compare.pairs import Pairs
from generator.pages.frame import urls
from generator.pages.frame.headlines import headlines
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike
from generator.specs.problems import Problem

Sort = Literal["guide", "bike", "comparison"]

ALSO = (
    "range.{route}",
    "hills.speed_10",
    "battery.energy",
    "battery.charge_time",
    "battery.cost_100km",
    "spec.assisted_speed",
    "claims.range",
)
"""Figures that a bike's handout tells after its main ones; `{route}` stands for every route."""


@dataclass(frozen=True)
class Wanted:
    sort: Sort
    slugs: tuple[str, ...]

    @property
    def name(self) -> str:
        """Of the folder that the handout goes to."""
        return "-vs-".join(self.slugs)


@dataclass(frozen=True)
class Subject:
    sort: Sort
    title: str
    summary: str
    path: str
    """Of the page that it belongs to, relative to the site."""
    address: str
    """Absolute address of that page."""
    bikes: tuple[Bike, ...]
    """Those that it is about; of a guide, those that it names figures of."""
    figures: tuple[Figure, ...]
    """Those that it names, in its order; of bikes, the main ones first."""
    charts: tuple[tuple[str, str], ...] = ()
    """Name and slug."""
    diagrams: tuple[tuple[str, str], ...] = ()
    sections: tuple[str, ...] = ()
    text: Text | None = None
    links: tuple[ShopLink, ...] = ()
    """To where its bikes are sold."""
    told: tuple[str, ...] = ()
    """What ties us to those sellers and makers; empty when nothing does."""


def wanted(
    words: Iterable[str], bikes: Iterable[str], guides: Iterable[str]
) -> tuple[Wanted | None, list[Problem]]:
    """A guide, a bike or several bikes by their slugs; `a,b` is the same as `a` and `b`."""
    names = [name.strip() for word in words for name in word.split(",") if name.strip()]
    slugs = [_slug(name) for name in names]
    known = {"bike": sorted(bikes), "guide": sorted(guides)}
    if not slugs:
        mend = "Name a guide, a bike, or two to four bikes with commas between them"
        return None, [Problem("handout", 0, 0, "nothing is named", mend)]
    if len(slugs) == 1:
        for sort in _sorts(names[0]):
            if slugs[0] in known[sort]:
                return Wanted(sort, (slugs[0],)), []
        return None, [_unknown(slugs[0], "guide or bike", known["guide"] + known["bike"])]
    problems = [
        _no_bike(slug, slug in known["guide"], known["bike"])
        for slug in slugs
        if slug not in known["bike"]
    ]
    if len(slugs) > MOST:
        what = f"{len(slugs)} bikes are too many to compare"
        problems.append(Problem("handout", 0, 0, what, f"Name two to {MOST}"))
    twice = sorted({slug for slug in slugs if slugs.count(slug) > 1})
    problems += [
        Problem("handout", 0, 0, f"{slug!r} is named twice", "Name each bike once")
        for slug in twice
    ]
    problems = list(dict.fromkeys(problems))
    return (None if problems else Wanted("comparison", tuple(slugs))), problems


def _sorts(name: str) -> tuple[Sort, ...]:
    """What a name may be: a folder before it says which."""
    if "guides/" in name:
        return ("guide",)
    return ("bike",) if "bikes/" in name else ("guide", "bike")


def _slug(name: str) -> str:
    return name.rstrip("/").rpartition("/")[2].removesuffix(".yaml").removesuffix(".md")


def _no_bike(name: str, guide: bool, bikes: Sequence[str]) -> Problem:
    if not guide:
        return _unknown(name, "bike", bikes)
    what = f"`{name}` is a guide, and only bikes can be compared"
    return Problem("handout", 0, 0, what, "Name the guide alone, or leave it out")


def _unknown(name: str, what: str, known: Sequence[str]) -> Problem:
    near = get_close_matches(name, known, n=3, cutoff=0.4)
    mend = "Did you mean " + " or ".join(f"`{each}`" for each in near)
    if not near:
        mend = "There are: " + ", ".join(known[:8]) + (" …" if len(known) > 8 else "")
    return Problem("handout", 0, 0, f"there is no {what} `{name}`", mend)


def subject(renderer: Renderer, asked: Wanted, pairs: Pairs) -> Subject:
    """What was asked for; `pairs` are those of all bikes, which say whether two have a page together.

    Problems in a guide's text are kept by the press.
    """
    addresses: tuple[str, ...] = ()
    if asked.sort == "guide":
        found, addresses = _guide(renderer, asked.slugs[0])
    else:
        bikes = tuple(filter(None, (renderer.table.bike(slug) for slug in asked.slugs)))
        alone = asked.sort == "bike"
        found = _bike(renderer, bikes[0]) if alone else _comparison(renderer, bikes, pairs)
    links = ties.links_of(renderer.content, found.bikes, addresses)
    told = ties.told(renderer.content, found.bikes, links)
    return replace(found, links=links, told=tuple(told))


def _guide(renderer: Renderer, slug: str) -> tuple[Subject, tuple[str, ...]]:
    """A guide, and where its links lead."""
    text = next(guide for guide in renderer.content.guides if guide.slug == slug)
    path = urls.guide(slug)
    found = named(renderer.prose(text, path))
    figures = [each for key in found.figures if (each := renderer.table.get(*key))]
    return Subject(
        "guide",
        text.title,
        text.summary,
        path,
        renderer.address(path),
        tuple(_bikes(renderer, found)),
        tuple(figures),
        tuple(found.charts),
        tuple(found.diagrams),
        tuple(found.sections),
        text,
    ), tuple(found.addresses)


def _bikes(renderer: Renderer, found: Named) -> Iterable[Bike]:
    slugs = [slug for slug, _ in found.figures]
    slugs += [slug for _, slug in (*found.charts, *found.diagrams)]
    for slug in dict.fromkeys(slugs):
        if bike := renderer.table.bike(slug):
            yield bike


def _bike(renderer: Renderer, bike: Bike) -> Subject:
    path = urls.bike(bike.slug)
    return Subject(
        "bike",
        bike.full_name,
        bike.summary,
        path,
        renderer.address(path),
        (bike,),
        tuple(_figures(renderer.table.of(bike.slug), renderer.content)),
        tuple((name, bike.slug) for part in PARTS for name, _ in part.charts),
    )


def _figures(known: dict[str, Figure], content: Content) -> list[Figure]:
    ids = [kind.id for kind in headlines(figure.kind for figure in known.values())]
    for id in ALSO:
        ids += [id.format(route=route.id) for route in content.routes]
    return [known[id] for id in dict.fromkeys(ids) if id in known]


def _comparison(renderer: Renderer, bikes: tuple[Bike, ...], pairs: Pairs) -> Subject:
    kinds = headlines(renderer.table.kinds.values())
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
    return Subject(
        "comparison",
        " or ".join(bike.full_name for bike in bikes),
        f"{listed(called(bikes))} side by side.",
        path,
        address,
        bikes,
        tuple(figures),
    )
