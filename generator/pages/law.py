"""The legal category of each bike, and the pages of the rules that decide it."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from string import ascii_lowercase

from generator.content.model import Settings
from generator.law.judge import NOTICE
from generator.law.verdicts import LegalVerdict, find_verdicts
from generator.pages.frame import urls
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.pagination import ListPage, find_list_pages
from generator.pages.frame.renderer import Renderer
from generator.pages.notices import cautions
from generator.specs.bike import Bike

TOWING_RULES = ("jp-trailer",)
"""Ids of rules that apply only to bikes that tow a trailer."""


SHORT_WORDS = {"none": "none of its categories", "unknown": "cannot be told"}
"""Words for verdicts that name no category."""


@dataclass(frozen=True)
class RegionVerdict:
    """The verdict of one rule on a bike."""

    region: str
    title: str
    href: str
    words: str
    short: str
    """The category without further words."""


@dataclass(frozen=True)
class BikeLaw:
    """The part about the law of a bike's page."""

    notice: str
    day: date
    here: list[RegionVerdict]
    """Verdicts of the rules of the publication's own region."""
    elsewhere: str
    """Link to the bike's row in the table of all regions."""
    cautions: tuple[str, ...]


TITLE = "What the law calls a bike"


def is_own_region(verdict: LegalVerdict, settings: Settings) -> bool:
    """Whether the rule is one of the publication's own region."""
    return verdict.rule.split("-")[0] == settings.region.split("-")[0].lower()


def find_applying_verdicts(bike: Bike, day: date) -> tuple[LegalVerdict, ...]:
    """Return the verdict of each rule that applies to such a bike."""
    tows = _tows_trailer(bike)
    return tuple(each for each in find_verdicts(bike, day) if tows or each.rule not in TOWING_RULES)


def _tows_trailer(bike: Bike) -> bool:
    return any("trailer" in place for place, _ in bike.cargo)


def _judge_once(renderer: Renderer, bike: Bike, day: date) -> tuple[LegalVerdict, ...]:
    """Return the verdicts on a bike, which is judged once for all pages."""
    known = renderer.verdicts.get(bike.slug)
    if known is None or known[0] is not bike:
        known = renderer.verdicts[bike.slug] = (bike, find_applying_verdicts(bike, day))
    return known[1]


def describe_law(renderer: Renderer, bike: Bike, path: str, list_page: str) -> BikeLaw | None:
    """Return the part about the law for the page at `path`; `list_page` is the path of the bike's page of the table."""
    if renderer.day is None:
        return None
    elsewhere = urls.link(path, f"{list_page}#{bike.slug}")
    notes = cautions.find_cautions("law", bike)
    return BikeLaw(NOTICE, renderer.day, find_own_verdicts(renderer, bike, path), elsewhere, notes)


def find_own_verdicts(renderer: Renderer, bike: Bike, path: str) -> list[RegionVerdict]:
    """Return the verdicts of the rules of the publication's own region; empty where no rule is known."""
    return [
        RegionVerdict(
            verdict.region,
            verdict.title,
            urls.link(path, f"{urls.LAW}#rule-{verdict.rule}"),
            describe_category(verdict),
            SHORT_WORDS.get(verdict.category, verdict.category),
        )
        for verdict in (_judge_once(renderer, bike, renderer.day) if renderer.day else ())
        if is_own_region(verdict, renderer.settings)
    ]


def describe_category(verdict: LegalVerdict) -> str:
    """Put the category in a few words; they never say that a bike is legal."""
    if verdict.category == "none":
        return "none of its categories"
    if verdict.category == "unknown":
        return f"cannot be told; not given: {', '.join(verdict.missing)}"
    return f"would fall in: {verdict.category}"


@dataclass(frozen=True)
class LawTableRow:
    """A bike in the table of all rules."""

    slug: str
    name: str
    href: str
    cells: list[tuple[str, list[tuple[str, str]]]]
    """Category by each rule, and letter and words of the values not given; empty where the rule does not apply."""


def plan_jobs(renderer: Renderer) -> Iterator[Job]:
    """Yield a job for each page of the table of bikes and rules; the publication's own region comes first."""
    rules = _list_rules(renderer)
    bikes = renderer.table.bikes if renderer.day else ()
    for list_page in find_list_pages(urls.LAW, len(bikes)):
        yield Job(
            _make_list_page,
            (list_page, rules, [bike.slug for bike in list_page.select_rows(bikes)]),
        )


def _list_rules(renderer: Renderer) -> list[LegalVerdict]:
    """Return the rules that apply to any bike here, without their verdicts."""
    bikes = renderer.table.bikes
    if not bikes or renderer.day is None:
        return []
    one = next(filter(_tows_trailer, bikes), bikes[0])
    without_verdicts = [
        replace(each, category="", words="", missing=())
        for each in find_applying_verdicts(one, renderer.day)
    ]
    return sorted(without_verdicts, key=lambda rule: not is_own_region(rule, renderer.settings))


def _make_list_page(
    renderer: Renderer, list_page: ListPage, rules: Sequence[LegalVerdict], slugs: Sequence[str]
) -> Iterator[Output]:
    day, path = renderer.day, urls.LAW
    bikes = renderer.bikes(slugs)
    judged = {
        bike.slug: {each.rule: each for each in _judge_once(renderer, bike, day)}
        for bike in bikes
        if day
    }
    letters = _assign_letters(each for found in judged.values() for each in found.values())
    regions: dict[str, list[LegalVerdict]] = defaultdict(list)
    for rule in rules:
        regions[rule.region].append(rule)
    yield renderer.render_page(
        Page(
            path=list_page.path,
            template="law.html",
            title=TITLE if list_page.first else f"{TITLE}, {list_page.span}",
            description="Every bike put to the dated rules of every region that we have read, on the figures given.",
            above=() if list_page.first else ((TITLE, path),),
            values={
                "list_page": list_page,
                "regions": list(regions.items()) if list_page.first else [],
                "rules": [
                    (rule, urls.link(list_page.path, f"{path}#rule-{rule.rule}")) for rule in rules
                ],
                "bikes": [
                    LawTableRow(
                        bike.slug,
                        bike.full_name,
                        urls.link(list_page.path, urls.bike(bike.slug) + "#law"),
                        [_make_cell(judged[bike.slug].get(rule.rule), letters) for rule in rules],
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


def _assign_letters(found: Iterable[LegalVerdict]) -> dict[str, str]:
    """Return a letter for each value that is not given for some bike, in alphabetical order of the values."""
    lacking = sorted({words for verdict in found for words in verdict.missing})
    return {words: _format_letter(place) for place, words in enumerate(lacking)}


def _format_letter(place: int) -> str:
    """Return the letter at an index: a to z, then aa, ab and so on."""
    more, last = divmod(place, len(ascii_lowercase))
    return (_format_letter(more - 1) if more else "") + ascii_lowercase[last]


def _make_cell(
    verdict: LegalVerdict | None, letters: dict[str, str]
) -> tuple[str, list[tuple[str, str]]]:
    if verdict is None:
        return "", []
    if verdict.category == "none":
        return "none of its categories", []
    if verdict.category == "unknown":
        return "unknown", sorted((letters[words], words) for words in verdict.missing)
    return verdict.category, []
