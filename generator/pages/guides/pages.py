"""Guides and the glossary."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from generator.content.model import Term, Text
from generator.pages.frame import structured_data, urls
from generator.pages.frame.browser_data import data_file
from generator.pages.frame.jobs import Job, asking
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Page, Renderer
from generator.pages.guides import worked_example
from generator.pages.guides.since_checked import since_checked
from generator.pages.prose.headings import headings

_TERM = re.compile(r"glossary/([^/\"]+)/")
"""A link to a term."""


def guides(renderer: Renderer) -> Iterator[Job]:
    """One for each guide."""
    ordered = _ordered(renderer)
    for place, guide in enumerate(ordered):
        following = _named(ordered[place + 1 : place + 2])
        make = partial(_of_guide, guide, following)
        yield asking(renderer, renderer.excerpts.of_texts, make, guide, following)


def glossary(renderer: Renderer) -> Iterator[Job]:
    """One for the lists of guides and terms with the short meanings, then one for each term, once all guides are printed."""
    ordered = _ordered(renderer)
    terms = sorted(renderer.content.terms, key=lambda term: (term.title.casefold(), term.slug))
    named = {page.path: page.terms for page in renderer.pages}
    yield Job(partial(_lists, renderer, ordered, terms))
    for term in terms:
        users = _named(guide for guide in ordered if term.slug in named[urls.guide(guide.slug)])
        make = partial(_of_term, term, users)
        yield asking(renderer, renderer.excerpts.of_texts, make, term, users)


def _ordered(renderer: Renderer) -> list[Text]:
    return sorted(renderer.content.guides, key=lambda text: (text.order, text.slug))


def _named(guides: Iterable[Text]) -> list[tuple[str, str]]:
    """Title and path of each."""
    return [(guide.title, urls.guide(guide.slug)) for guide in guides]


def _of_guide(
    guide: Text, following: Sequence[tuple[str, str]], renderer: Renderer
) -> Iterator[Output]:
    yield renderer.render_page(_guide(renderer, guide, following))


def _lists(renderer: Renderer, guides: Sequence[Text], terms: Sequence[Term]) -> Iterator[Output]:
    yield renderer.render_page(_guides(guides))
    yield renderer.render_page(_glossary(renderer, terms))
    yield data_file(urls.DEFINITIONS, {term.slug: term.summary for term in terms})


def _of_term(term: Term, users: Sequence[tuple[str, str]], renderer: Renderer) -> Iterator[Output]:
    yield renderer.render_page(_term(renderer, term, users))


def _guides(guides: Sequence[Text]) -> Page:
    return Page(
        path=urls.GUIDES,
        template="guides.html",
        title="Guides",
        description="How electric bicycles work and how to choose one, in plain words with live figures.",
        values={"guides": [(text.title, text.summary, urls.guide(text.slug)) for text in guides]},
    )


def _guide(renderer: Renderer, guide: Text, following: Sequence[tuple[str, str]]) -> Page:
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
            structured_data.article(
                guide.title,
                guide.summary,
                renderer.address(path),
                renderer.address(urls.picture("guides", guide.slug)),
                renderer.settings.title,
                checked,
            ),
        ),
        headings=headings(body),
        terms=frozenset(_TERM.findall(body)),
        values={
            "text": guide,
            "body": body,
            "since": since_checked(renderer, guide, body, path),
            "next": [(title, urls.link(path, target)) for title, target in following],
        },
    )


def _glossary(renderer: Renderer, terms: Sequence[Term]) -> Page:
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
        data=(structured_data.term_set(_set_name(renderer), address, entries),),
        values={
            "letters": sorted(letters.items()),
            "groups": sorted(groups.items()),
            "href": lambda slug: urls.link(path, urls.term(slug)),
        },
    )


def _set_name(renderer: Renderer) -> str:
    return f"{renderer.settings.title}: glossary"


def _term(renderer: Renderer, term: Term, users: Sequence[tuple[str, str]]) -> Page:
    path = urls.term(term.slug)
    titles = {other.slug: other.title for other in renderer.content.terms}
    whole = renderer.address(path)
    return Page(
        path=path,
        template="term.html",
        title=term.title,
        description=term.summary,
        above=(("Glossary", urls.GLOSSARY),),
        data=(
            structured_data.defined_term(
                term.title,
                term.summary,
                whole,
                _set_name(renderer),
                renderer.address(urls.GLOSSARY),
            ),
        ),
        values={
            "term": term,
            "body": renderer.prose(term, path),
            "worked": worked_example.worked(renderer, term, path),
            "explains": worked_example.explains(renderer, term, path),
            "see": [
                (titles[slug], urls.link(path, urls.term(slug)))
                for slug in term.see
                if slug in titles
            ],
            "guides": [(title, urls.link(path, target)) for title, target in users],
        },
    )
