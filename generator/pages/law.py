"""What the law would call each bike, and the page of the rules that say so."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from string import ascii_lowercase

from generator.content.model import Settings
from generator.law.judge import NOTICE
from generator.law.verdicts import Verdict, verdicts
from generator.pages.frame import cautions, urls
from generator.pages.frame.jobs import Job, seeing
from generator.pages.frame.output import Output
from generator.pages.frame.pagination import Leaf, leaves
from generator.pages.frame.renderer import Page, Renderer
from generator.specs.bike import Bike

TOWING = ("jp-trailer",)
"""Rules for what tows a trailer only."""


SHORT = {"none": "none of its categories", "unknown": "cannot be told"}
"""For what is not a category."""


@dataclass(frozen=True)
class Row:
    region: str
    title: str
    href: str
    words: str
    short: str
    """The category alone."""


@dataclass(frozen=True)
class Law:
    """One bike before the rules in force on a day; the publication's own region first."""

    notice: str
    day: date
    here: list[Row]
    elsewhere: str
    """Link to the bike's row in the table of all regions."""
    cautions: tuple[str, ...]


TITLE = "What the law calls a bike"


def is_own(verdict: Verdict, settings: Settings) -> bool:
    """Is the rule one of the publication's own region?"""
    return verdict.rule.split("-")[0] == settings.region.split("-")[0].lower()


def applying(bike: Bike, day: date) -> tuple[Verdict, ...]:
    """Where a bike would fall under each rule that asks about such a bike."""
    tows = _tows(bike)
    return tuple(each for each in verdicts(bike, day) if tows or each.rule not in TOWING)


def _tows(bike: Bike) -> bool:
    return any("trailer" in place for place, _ in bike.cargo)


def _judged(renderer: Renderer, bike: Bike, day: date) -> tuple[Verdict, ...]:
    """Each bike is judged once, however many pages say of it what it is."""
    kept = renderer.verdicts.get(bike.slug)
    if kept is None or kept[0] is not bike:
        kept = renderer.verdicts[bike.slug] = (bike, applying(bike, day))
    return kept[1]


def law(renderer: Renderer, bike: Bike, path: str, leaf: str) -> Law | None:
    """For the page at `path`; `leaf` is the page on which the bike stands before all rules."""
    if renderer.day is None:
        return None
    elsewhere = urls.link(path, f"{leaf}#{bike.slug}")
    notes = cautions.beside("law", bike)
    return Law(NOTICE, renderer.day, here(renderer, bike, path), elsewhere, notes)


def here(renderer: Renderer, bike: Bike, path: str) -> list[Row]:
    """What the rules of the publication's own region would call a bike; nothing where no rule is known."""
    return [
        Row(
            verdict.region,
            verdict.title,
            urls.link(path, f"{urls.LAW}#rule-{verdict.rule}"),
            in_words(verdict),
            SHORT.get(verdict.category, verdict.category),
        )
        for verdict in (_judged(renderer, bike, renderer.day) if renderer.day else ())
        if is_own(verdict, renderer.settings)
    ]


def in_words(verdict: Verdict) -> str:
    """The category in a few words; never that a bike is legal."""
    if verdict.category == "none":
        return "none of its categories"
    if verdict.category == "unknown":
        return f"cannot be told; not given: {', '.join(verdict.missing)}"
    return f"would fall in: {verdict.category}"


@dataclass(frozen=True)
class Line:
    """One bike before all rules of the table."""

    slug: str
    name: str
    href: str
    cells: list[tuple[str, list[tuple[str, str]]]]
    """What it would be called, and letter and words of what is not given; empty where the rule does not ask about it."""


def jobs(renderer: Renderer) -> Iterator[Job]:
    """All bikes before all rules, a hundred to a page, and the rules themselves by region; the publication's own first."""
    rules = _rules(renderer)
    bikes = renderer.table.bikes if renderer.day else ()
    for leaf in leaves(urls.LAW, len(bikes)):
        yield seeing(renderer, leaf.of(bikes), partial(_leaf, leaf, rules), leaf, rules)


def _rules(renderer: Renderer) -> list[Verdict]:
    """Those that ask about some bike here, whatever they say of it."""
    bikes = renderer.table.bikes
    if not bikes or renderer.day is None:
        return []
    one = next(filter(_tows, bikes), bikes[0])
    told = [
        replace(each, category="", words="", missing=()) for each in applying(one, renderer.day)
    ]
    return sorted(told, key=lambda rule: not is_own(rule, renderer.settings))


def _leaf(leaf: Leaf, rules: Sequence[Verdict], renderer: Renderer) -> Iterator[Output]:
    day, path = renderer.day, urls.LAW
    bikes = renderer.table.bikes if day else ()
    judged = {
        bike.slug: {each.rule: each for each in _judged(renderer, bike, day)}
        for bike in bikes
        if day
    }
    letters = _letters(each for found in judged.values() for each in found.values())
    regions: dict[str, list[Verdict]] = defaultdict(list)
    for rule in rules:
        regions[rule.region].append(rule)
    yield renderer.render_page(
        Page(
            path=leaf.path,
            template="law.html",
            title=TITLE if leaf.first else f"{TITLE}, {leaf.span}",
            description="Every bike put to the dated rules of every region that we have read, on the figures given.",
            above=() if leaf.first else ((TITLE, path),),
            values={
                "leaf": leaf,
                "regions": list(regions.items()) if leaf.first else [],
                "rules": [
                    (rule, urls.link(leaf.path, f"{path}#rule-{rule.rule}")) for rule in rules
                ],
                "bikes": [
                    Line(
                        bike.slug,
                        bike.full_name,
                        urls.link(leaf.path, urls.bike(bike.slug) + "#law"),
                        [_cell(judged[bike.slug].get(rule.rule), letters) for rule in rules],
                    )
                    for bike in bikes
                ],
                "lacking": [(letter, words) for words, letter in letters.items()],
                "notice": NOTICE,
                "day": day,
                "caution": (cautions.LOCAL_LAW, cautions.UNALTERED),
            },
        )
    )


def _letters(found: Iterable[Verdict]) -> dict[str, str]:
    """A letter for each thing that is not given for some bike, in the order of the alphabet of things."""
    lacking = sorted({words for verdict in found for words in verdict.missing})
    return {words: _letter(place) for place, words in enumerate(lacking)}


def _letter(place: int) -> str:
    """a to z, then aa, ab and so on."""
    more, last = divmod(place, len(ascii_lowercase))
    return (_letter(more - 1) if more else "") + ascii_lowercase[last]


def _cell(verdict: Verdict | None, letters: dict[str, str]) -> tuple[str, list[tuple[str, str]]]:
    if verdict is None:
        return "", []
    if verdict.category == "none":
        return "none of its categories", []
    if verdict.category == "unknown":
        return "unknown", sorted((letters[words], words) for words in verdict.missing)
    return verdict.category, []
