"""The lists of the guide and their members, and how membership changes.

* register_list        registers a function that returns lists: table and content in, members by name of the list out
* collect_lists        members of every list
* compare_memberships  who entered and who left
"""

from collections.abc import Callable, Iterator, Mapping

from generator.content.model import Content
from generator.figures.criteria import running_lists
from generator.figures.table.figures_table import FiguresTable
from generator.law.verdicts import LegalVerdict, find_rules_day
from generator.pages import law as law_page
from generator.pages.compare.pairs import BikePairs
from generator.pages.lists import bike_table
from generator.publish.impact.model import MembershipChange
from generator.specs.bike import Bike

LAW_PREFIX = "Law, "
"""Begins the name of a list of bikes in one legal category; region, rule and category follow."""

Member = tuple[str, ...]
"""One slug, or two for a pair."""
MembersByList = dict[str, set[Member]]
ListSource = Callable[[FiguresTable, Content], MembersByList]

LIST_SOURCES: list[ListSource] = []

CLAIM_LISTS = {
    "ordinary": "Range claim: holds on an ordinary ride",
    "favourable": "Range claim: holds on a favourable ride",
    "slow": "Range claim: holds only at a steady low speed",
    "none": "Range claim: holds on no ride that we know",
}


def register_list(function: ListSource) -> ListSource:
    """Register a function that returns lists."""
    LIST_SOURCES.append(function)
    return function


def collect_lists(table: FiguresTable, content: Content) -> MembersByList:
    """Members of every list by name. Names are written for readers, and are the same for both states."""
    found: MembersByList = {}
    for function in LIST_SOURCES:
        found |= function(table, content)
    return found


def compare_memberships(
    before: MembersByList, after: MembersByList, renamed: Mapping[str, str]
) -> tuple[MembershipChange, ...]:
    """Which members entered and left which list. `renamed` maps earlier slugs to later ones."""
    found: list[MembershipChange] = []
    for name in sorted(before.keys() | after.keys()):
        old = {
            tuple(sorted(renamed.get(slug, slug) for slug in member))
            for member in before.get(name, ())
        }
        new = {tuple(sorted(member)) for member in after.get(name, ())}
        found += [MembershipChange(name, member, "entered") for member in sorted(new - old)]
        found += [MembershipChange(name, member, "left") for member in sorted(old - new)]
    return tuple(found)


@register_list
def list_by_use(table: FiguresTable, content: Content) -> MembersByList:
    """Bikes by use."""
    found: MembersByList = {}
    for bike in table.bikes:
        for use in bike.uses:
            found.setdefault(f"Use: {bike_table.find_use_title(use)}", set()).add((bike.slug,))
    return found


@register_list
def list_compared_pairs(table: FiguresTable, content: Content) -> MembersByList:
    """Pairs of bikes that have a page of comparison."""
    pairs = {(one.slug, other.slug) for one, other in BikePairs(table.bikes).all}
    return {"Pages of two bikes side by side": set(pairs)}


@register_list
def list_by_status(table: FiguresTable, content: Content) -> MembersByList:
    """Bikes by status, such as on sale."""
    found: MembersByList = {}
    for bike in table.bikes:
        found.setdefault(f"Status: {bike.status}", set()).add((bike.slug,))
    return found


@register_list
def list_by_claim(table: FiguresTable, content: Content) -> MembersByList:
    """Bikes by the verdict on their range claim."""
    found: MembersByList = {}
    for bike in table.bikes:
        ride = table.claims.get(bike.slug)
        name = CLAIM_LISTS[ride.verdict] if ride else "Range claim: none that can be checked"
        found.setdefault(name, set()).add((bike.slug,))
    return found


@register_list
def list_by_law(table: FiguresTable, content: Content) -> MembersByList:
    """Bikes by legal category, for each rule."""
    found: MembersByList = {}
    for bike, verdict in _judge_bikes(table, content):
        category = law_page.SHORT_WORDS.get(verdict.category, verdict.category)
        name = f"{LAW_PREFIX}{verdict.region}, {verdict.title}: {category}"
        found.setdefault(name, set()).add((bike.slug,))
    return found


@register_list
def list_by_rule(table: FiguresTable, content: Content) -> MembersByList:
    """Members of the running lists. A list whose rule cannot be read is reported among the problems."""
    return {
        f"Running list: {each.running.title}": {(slug,) for slug in each.slugs}
        for each in running_lists.find_all_list_members(table, content)
    }


def find_own_region(table: FiguresTable, content: Content) -> str:
    """The publication's own region as the lists of laws name it; empty if no rule is of that region."""
    verdicts = (verdict for _, verdict in _judge_bikes(table, content))
    own = (each.region for each in verdicts if law_page.is_own_region(each, content.settings))
    return next(own, "")


def _judge_bikes(table: FiguresTable, content: Content) -> Iterator[tuple[Bike, LegalVerdict]]:
    """Every bike judged by every rule, as of the same day as on the site's pages."""
    day = find_rules_day(content.settings, table.bikes)
    if day is not None:
        for bike in table.bikes:
            yield from ((bike, verdict) for verdict in law_page.find_applying_verdicts(bike, day))
