"""Pages of the guides and of the glossary."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from generator.content.model import Term, Text
from generator.pages.frame import structured_data, urls
from generator.pages.frame.browser_data import make_data_file
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output, PageSummary
from generator.pages.frame.page import Page
from generator.pages.frame.renderer import Renderer
from generator.pages.guides import worked_example
from generator.pages.guides.since_checked import find_moves_since_check
from generator.pages.prose.headings import find_headings

_TERM = re.compile(r"glossary/([^/\"]+)/")
"""Matches a link to a term."""


def plan_guides(renderer: Renderer) -> Iterator[Job]:
    """Yield a job for each guide."""
    ordered = _sort_guides(renderer)
    for place, guide in enumerate(ordered):
        yield Job(_make_guide, (guide, _list_titles(ordered[place + 1 : place + 2])), long=True)


def plan_glossary(renderer: Renderer, pages: Iterable[PageSummary]) -> Iterator[Job]:
    """Yield a job for the lists of guides and terms, then one for each term; `pages` are the guides' pages."""
    ordered = _sort_guides(renderer)
    terms = sorted(renderer.content.terms, key=lambda term: (term.title.casefold(), term.slug))
    named = {page.path: page.terms for page in pages}
    yield Job(_make_lists)
    for term in terms:
        users = _list_titles(
            guide for guide in ordered if term.slug in named[urls.guide(guide.slug)]
        )
        yield Job(_make_term, (term, users))


def _sort_guides(renderer: Renderer) -> list[Text]:
    return sorted(renderer.content.guides, key=lambda text: (text.order, text.slug))


def _list_titles(guides: Iterable[Text]) -> list[tuple[str, str]]:
    """Title and path of each guide."""
    return [(guide.title, urls.guide(guide.slug)) for guide in guides]


def _make_guide(
    renderer: Renderer, guide: Text, following: Sequence[tuple[str, str]]
) -> Iterator[Output]:
    yield renderer.render_page(_build_guide_page(renderer, guide, following))


def _make_lists(renderer: Renderer) -> Iterator[Output]:
    terms = sorted(renderer.content.terms, key=lambda term: (term.title.casefold(), term.slug))
    yield renderer.render_page(_build_guides_page(_sort_guides(renderer)))
    yield renderer.render_page(_build_glossary_page(renderer, terms))
    yield make_data_file(urls.DEFINITIONS, {term.slug: term.summary for term in terms})


def _make_term(
    renderer: Renderer, term: Term, users: Sequence[tuple[str, str]]
) -> Iterator[Output]:
    yield renderer.render_page(_build_term_page(renderer, term, users))


def _build_guides_page(guides: Sequence[Text]) -> Page:
    return Page(
        path=urls.GUIDES,
        template="guides.html",
        title="Guides",
        description="How electric bicycles work and how to choose one, in plain words with live figures.",
        values={"guides": [(text.title, text.summary, urls.guide(text.slug)) for text in guides]},
    )


def _build_guide_page(
    renderer: Renderer, guide: Text, following: Sequence[tuple[str, str]]
) -> Page:
    path = urls.guide(guide.slug)
    checked = guide.checked.isoformat() if guide.checked else None
    body = renderer.prose(guide, path)
    return Page(
        path=path,
        template="text.html",
        title=guide.title,
        description=guide.summary,
        above=(("Guides", urls.GUIDES),),
        data=(
            structured_data.build_article(
                guide.title,
                guide.summary,
                renderer.address(path),
                renderer.address(urls.picture("guides", guide.slug)),
                renderer.settings.title,
                checked,
            ),
        ),
        headings=find_headings(body),
        terms=frozenset(_TERM.findall(body)),
        values={
            "text": guide,
            "body": body,
            "since": find_moves_since_check(renderer, guide, body, path),
            "next": [(title, urls.link(path, target)) for title, target in following],
        },
    )


def _build_glossary_page(renderer: Renderer, terms: Sequence[Term]) -> Page:
    path = urls.GLOSSARY
    letters: dict[str, list[Term]] = defaultdict(list)
    groups: dict[str, list[Term]] = defaultdict(list)
    for term in terms:
        letters[term.title[:1].upper()].append(term)
        groups[term.group or "General"].append(term)
    address = renderer.address(path)
    entries = [(term.title, term.summary, renderer.address(urls.term(term.slug))) for term in terms]
    return Page(
        path=path,
        template="glossary.html",
        title="Glossary",
        description=f"{len(terms)} words of the trade in plain language.",
        data=(structured_data.build_term_set(_name_glossary(renderer), address, entries),),
        values={
            "letters": sorted(letters.items()),
            "groups": sorted(groups.items()),
            "href": lambda slug: urls.link(path, urls.term(slug)),
        },
    )


def _name_glossary(renderer: Renderer) -> str:
    return f"{renderer.settings.title}: glossary"


def _build_term_page(renderer: Renderer, term: Term, users: Sequence[tuple[str, str]]) -> Page:
    path = urls.term(term.slug)
    titles = {other.slug: other.title for other in renderer.content.term_index}
    whole = renderer.address(path)
    return Page(
        path=path,
        template="term.html",
        title=term.title,
        description=term.summary,
        above=(("Glossary", urls.GLOSSARY),),
        data=(
            structured_data.build_defined_term(
                term.title,
                term.summary,
                whole,
                _name_glossary(renderer),
                renderer.address(urls.GLOSSARY),
            ),
        ),
        values={
            "term": term,
            "body": renderer.prose(term, path),
            "worked": worked_example.find_example(renderer, term, path),
            "explains": worked_example.list_explained(renderer, term, path),
            "see": [
                (titles[slug], urls.link(path, urls.term(slug)))
                for slug in term.see
                if slug in titles
            ],
            "guides": [(title, urls.link(path, target)) for title, target in users],
        },
    )
