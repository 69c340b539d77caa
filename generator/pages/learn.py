"""Guides and the glossary."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from generator.content.model import Term, Text
from generator.pages import jsonld, places, worked
from generator.pages.browser_data import data_file
from generator.pages.crew import Job, asking
from generator.pages.headings import headings
from generator.pages.output import Output
from generator.pages.press import Press, Sheet
from generator.pages.since_checked import since_checked

_TERM = re.compile(r"glossary/([^/\"]+)/")
"""A link to a term."""


def guides(press: Press) -> Iterator[Job]:
    """One for each guide."""
    ordered = _ordered(press)
    for place, guide in enumerate(ordered):
        following = _named(ordered[place + 1 : place + 2])
        make = partial(_of_guide, guide, following)
        yield asking(press, press.excerpts.of_texts, make, guide, following)


def glossary(press: Press) -> Iterator[Job]:
    """One for the lists of guides and terms with the short meanings, then one for each term, once all guides are printed."""
    ordered = _ordered(press)
    terms = sorted(press.content.terms, key=lambda term: (term.title.casefold(), term.slug))
    named = {sheet.path: sheet.terms for sheet in press.sheets}
    yield Job(partial(_lists, press, ordered, terms))
    for term in terms:
        users = _named(guide for guide in ordered if term.slug in named[places.guide(guide.slug)])
        make = partial(_of_term, term, users)
        yield asking(press, press.excerpts.of_texts, make, term, users)


def _ordered(press: Press) -> list[Text]:
    return sorted(press.content.guides, key=lambda text: (text.order, text.slug))


def _named(guides: Iterable[Text]) -> list[tuple[str, str]]:
    """Title and path of each."""
    return [(guide.title, places.guide(guide.slug)) for guide in guides]


def _of_guide(guide: Text, following: Sequence[tuple[str, str]], press: Press) -> Iterator[Output]:
    yield press.printed(_guide(press, guide, following))


def _lists(press: Press, guides: Sequence[Text], terms: Sequence[Term]) -> Iterator[Output]:
    yield press.printed(_guides(guides))
    yield press.printed(_glossary(press, terms))
    yield data_file(places.DEFINITIONS, {term.slug: term.summary for term in terms})


def _of_term(term: Term, users: Sequence[tuple[str, str]], press: Press) -> Iterator[Output]:
    yield press.printed(_term(press, term, users))


def _guides(guides: Sequence[Text]) -> Sheet:
    return Sheet(
        path=places.GUIDES,
        template="guides.html",
        title="Guides",
        description="How electric bicycles work and how to choose one, in plain words with live figures.",
        values={"guides": [(text.title, text.summary, places.guide(text.slug)) for text in guides]},
    )


def _guide(press: Press, guide: Text, following: Sequence[tuple[str, str]]) -> Sheet:
    path = places.guide(guide.slug)
    checked = guide.checked.isoformat() if guide.checked else None
    body = press.prose(guide, path)
    return Sheet(
        path=path,
        template="text.html",
        title=guide.title,
        description=guide.summary,
        above=(("Guides", places.GUIDES),),
        data=(
            jsonld.article(
                guide.title,
                guide.summary,
                press.address(path),
                press.address(places.picture("guides", guide.slug)),
                press.settings.title,
                checked,
            ),
        ),
        headings=headings(body),
        terms=frozenset(_TERM.findall(body)),
        values={
            "text": guide,
            "body": body,
            "since": since_checked(press, guide, body, path),
            "next": [(title, places.link(path, target)) for title, target in following],
        },
    )


def _glossary(press: Press, terms: Sequence[Term]) -> Sheet:
    path = places.GLOSSARY
    letters: dict[str, list[Term]] = defaultdict(list)
    groups: dict[str, list[Term]] = defaultdict(list)
    for term in terms:
        letters[term.title[:1].upper()].append(term)
        groups[term.group or "General"].append(term)
    address = press.address(path)
    entries = [(term.title, term.summary, press.address(places.term(term.slug))) for term in terms]
    return Sheet(
        path=path,
        template="glossary.html",
        title="Glossary",
        description=f"{len(terms)} words of the trade in plain language.",
        data=(jsonld.term_set(_set_name(press), address, entries),),
        values={
            "letters": sorted(letters.items()),
            "groups": sorted(groups.items()),
            "href": lambda slug: places.link(path, places.term(slug)),
        },
    )


def _set_name(press: Press) -> str:
    return f"{press.settings.title}: glossary"


def _term(press: Press, term: Term, users: Sequence[tuple[str, str]]) -> Sheet:
    path = places.term(term.slug)
    titles = {other.slug: other.title for other in press.content.terms}
    whole = press.address(path)
    return Sheet(
        path=path,
        template="term.html",
        title=term.title,
        description=term.summary,
        above=(("Glossary", places.GLOSSARY),),
        data=(
            jsonld.defined_term(
                term.title,
                term.summary,
                whole,
                _set_name(press),
                press.address(places.GLOSSARY),
            ),
        ),
        values={
            "term": term,
            "body": press.prose(term, path),
            "worked": worked.worked(press, term, path),
            "explains": worked.explains(press, term, path),
            "see": [
                (titles[slug], places.link(path, places.term(slug)))
                for slug in term.see
                if slug in titles
            ],
            "guides": [(title, places.link(path, target)) for title, target in users],
        },
    )
