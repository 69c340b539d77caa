"""Pages that came and went: from their places, or by rendering both sites."""

from collections.abc import Iterator

from generator.content.model import Content
from generator.figures.table.figures_table import FiguresTable
from generator.pages.compare.pairs import Pairs
from generator.pages.frame import urls
from generator.publish.build.summary import page_changes
from generator.publish.cache.chart_cache import ChartCache
from generator.publish.impact.model import PageChanges
from generator.publish.impact.revisions import temporary
from generator.specs.problems import ProblemsFound


def compared(
    before: tuple[FiguresTable, Content], after: tuple[FiguresTable, Content]
) -> PageChanges:
    """Pages added and gone, by where each page stands: of bikes, pairs, uses and texts.

    Pages that every site has are left out, and so are the chooser's, which only rendering tells."""
    old, new = set(_places(*before)), set(_places(*after))
    return PageChanges(tuple(sorted(new - old)), tuple(sorted(old - new)))


def _places(table: FiguresTable, content: Content) -> Iterator[str]:
    for bike in table.bikes:
        yield urls.bike(bike.slug)
        yield urls.inputs(bike.slug)
        yield from map(urls.use, bike.uses)
    for one, other in Pairs(table.bikes).all:
        yield urls.comparison(one.slug, other.slug)
    yield from (urls.guide(text.slug) for text in content.guides)
    yield from (urls.term(term.slug) for term in content.terms)
    yield from (urls.page(text.slug) for text in content.pages)
    yield from (urls.running_list(text.slug) for text in content.lists)
    if content.lists:
        yield urls.LISTS
    if content.changelog:
        yield urls.CHANGELOG
    yield from (urls.bike_prices(bike.slug) for bike in table.bikes if bike.slug in content.priced)
    if content.links or any(bike.slug in content.priced for bike in table.bikes):
        yield urls.PRICES


def rendered(
    before: tuple[FiguresTable, Content], after: tuple[FiguresTable, Content], charts: ChartCache
) -> PageChanges:
    """The same with the pages that changed, from both whole sites. Both get the templates of this program."""
    changes = page_changes(_site(before, charts), _site(after, charts))
    return PageChanges(changes.added, changes.gone, changes.changed)


def _site(side: tuple[FiguresTable, Content], charts: ChartCache) -> dict[str, str]:
    """Path to hash. A site whose texts have errors ends where they are told, with all its pages made."""
    found: dict[str, str] = {}
    with temporary() as empty:
        try:
            for output in charts.site(*side, empty):
                found[output.path] = output.digest
        except ProblemsFound:
            pass  # they are among the problems of the report
    return found
