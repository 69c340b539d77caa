"""The lists of the guide, and who stands in them. A new running list registers itself here with `@listing`.

* listing    marks a function of table and content that gives lists: name to members
* lists      all of them
"""

from collections.abc import Callable, Iterator, Mapping

from generator.content.model import Content
from generator.figures.criteria import running_lists
from generator.figures.table.figures_table import FiguresTable
from generator.law.verdicts import Verdict, day_of
from generator.pages import law as law_page
from generator.pages.compare.pairs import Pairs
from generator.pages.lists import bike_table
from generator.publish.impact.model import Membership
from generator.specs.bike import Bike

LAW = "Law, "
"""Begins the name of a list of bikes of one legal category; then region, rule and category."""

Member = tuple[str, ...]
"""One slug, or two for a pair."""
Lists = dict[str, set[Member]]
Listing = Callable[[FiguresTable, Content], Lists]

LISTINGS: list[Listing] = []

CLAIMS = {
    "ordinary": "Range claim: holds on an ordinary ride",
    "favourable": "Range claim: holds on a favourable ride",
    "slow": "Range claim: holds only at a steady low speed",
    "none": "Range claim: holds on no ride that we know",
}


def listing(function: Listing) -> Listing:
    """Register a function that gives lists."""
    LISTINGS.append(function)
    return function


def lists(table: FiguresTable, content: Content) -> Lists:
    """Every list by name. Names are for readers and the same on both sides."""
    found: Lists = {}
    for function in LISTINGS:
        found |= function(table, content)
    return found


def memberships(before: Lists, after: Lists, renamed: Mapping[str, str]) -> tuple[Membership, ...]:
    """Who entered and who left; `renamed` is slug before to slug now."""
    found: list[Membership] = []
    for name in sorted(before.keys() | after.keys()):
        old = {
            tuple(sorted(renamed.get(slug, slug) for slug in member))
            for member in before.get(name, ())
        }
        new = {tuple(sorted(member)) for member in after.get(name, ())}
        found += [Membership(name, member, "entered") for member in sorted(new - old)]
        found += [Membership(name, member, "left") for member in sorted(old - new)]
    return tuple(found)


@listing
def by_use(table: FiguresTable, content: Content) -> Lists:
    found: Lists = {}
    for bike in table.bikes:
        for use in bike.uses:
            found.setdefault(f"Use: {bike_table.title(use)}", set()).add((bike.slug,))
    return found


@listing
def side_by_side(table: FiguresTable, content: Content) -> Lists:
    pairs = {(one.slug, other.slug) for one, other in Pairs(table.bikes).all}
    return {"Pages of two bikes side by side": set(pairs)}


@listing
def by_status(table: FiguresTable, content: Content) -> Lists:
    found: Lists = {}
    for bike in table.bikes:
        found.setdefault(f"Status: {bike.status}", set()).add((bike.slug,))
    return found


@listing
def by_claim(table: FiguresTable, content: Content) -> Lists:
    found: Lists = {}
    for bike in table.bikes:
        ride = table.claims.get(bike.slug)
        name = CLAIMS[ride.verdict] if ride else "Range claim: none that can be checked"
        found.setdefault(name, set()).add((bike.slug,))
    return found


@listing
def by_law(table: FiguresTable, content: Content) -> Lists:
    found: Lists = {}
    for bike, verdict in _verdicts(table, content):
        category = law_page.SHORT.get(verdict.category, verdict.category)
        name = f"{LAW}{verdict.region}, {verdict.title}: {category}"
        found.setdefault(name, set()).add((bike.slug,))
    return found


@listing
def by_rule(table: FiguresTable, content: Content) -> Lists:
    """The running lists; one whose rule cannot be read is told among the problems."""
    return {
        f"Running list: {each.running.title}": {(slug,) for slug in each.slugs}
        for each in running_lists.rolls(table, content)
    }


def own_region(table: FiguresTable, content: Content) -> str:
    """Name of the publication's own region in the lists of laws; empty where no rule is of it."""
    verdicts = (verdict for _, verdict in _verdicts(table, content))
    own = (each.region for each in verdicts if law_page.is_own(each, content.settings))
    return next(own, "")


def _verdicts(table: FiguresTable, content: Content) -> Iterator[tuple[Bike, Verdict]]:
    """Every bike before every rule, by the rules of the same day as on the site's pages."""
    day = day_of(content.settings, table.bikes)
    if day is not None:
        for bike in table.bikes:
            yield from ((bike, verdict) for verdict in law_page.applying(bike, day))
