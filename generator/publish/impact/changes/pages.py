"""Finds pages that were added, removed or changed: from their paths, or by rendering both sites."""

from collections.abc import Iterator

from generator.content.model import Content
from generator.figures.table.figures_table import FiguresTable
from generator.pages.compare.pairs import BikePairs
from generator.pages.frame import urls
from generator.pages.frame.drawings import Drawings
from generator.pages.frame.renderer import Renderer
from generator.pages.site import render_site
from generator.publish.build.summary import page_changes
from generator.publish.impact.model import PageChanges
from generator.publish.impact.states.revisions import make_temporary_folder
from generator.specs.problems import ProblemsFound


def compare_paths(
    before: tuple[FiguresTable, Content], after: tuple[FiguresTable, Content]
) -> PageChanges:
    """Pages added and removed, judged by the paths of the pages of bikes, pairs, uses and texts.

    Pages that every site has are left out, and so are those of the chooser, which are known only after rendering.
    """
    old, new = set(_list_paths(*before)), set(_list_paths(*after))
    return PageChanges(tuple(sorted(new - old)), tuple(sorted(old - new)))


def _list_paths(table: FiguresTable, content: Content) -> Iterator[str]:
    """Paths of the pages that depend on bikes and texts."""
    for bike in table.bikes:
        yield urls.bike(bike.slug)
        yield urls.inputs(bike.slug)
        yield from map(urls.use, bike.uses)
    for one, other in BikePairs(table.bikes).all:
        yield urls.comparison(one.slug, other.slug)
    yield from (urls.guide(text.slug) for text in content.guides)
    yield from (urls.term(term.slug) for term in content.terms)
    yield from (urls.page(text.slug) for text in content.pages)
    yield from (urls.running_list(text.slug) for text in content.lists)
    if content.lists:
        yield urls.LISTS
    if content.changelog:
        yield urls.CHANGELOG
    yield from (
        urls.bike_prices(bike.slug) for bike in table.bikes if bike.slug in content.priced_bikes
    )
    if content.links or any(bike.slug in content.priced_bikes for bike in table.bikes):
        yield urls.PRICES


def compare_rendered_sites(
    before: tuple[FiguresTable, Content], after: tuple[FiguresTable, Content], drawings: Drawings
) -> PageChanges:
    """The same with the pages that changed, from both whole sites. Both get the templates of this program."""
    changes = page_changes(_hash_site_files(before, drawings), _hash_site_files(after, drawings))
    return PageChanges(changes.added, changes.gone, changes.changed)


def _hash_site_files(side: tuple[FiguresTable, Content], drawings: Drawings) -> dict[str, str]:
    """Path to hash. A site whose texts have errors ends where they are told, with all its pages made."""
    found: dict[str, str] = {}
    with make_temporary_folder() as empty:
        try:
            for output in render_site(Renderer(*side, empty, drawings)):
                found[output.path] = output.digest
        except ProblemsFound:
            pass  # the report lists them among the problems
    return found
