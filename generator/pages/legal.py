"""What the law would call each bike, and the page of the rules that say so."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from generator.figures.law import NOTICE, Verdict, verdicts
from generator.pages import cautions, places
from generator.pages.output import Output
from generator.pages.press import Press, Sheet
from generator.specs.bike import Bike


@dataclass(frozen=True)
class Row:
    region: str
    title: str
    href: str
    words: str


@dataclass(frozen=True)
class Law:
    """One bike before the rules in force on a day; the publication's own region first."""

    notice: str
    day: date
    here: list[Row]
    elsewhere: list[Row]
    cautions: tuple[str, ...]


def day_of(press: Press) -> date | None:
    """The day whose rules hold: when the publication was last gone through, else its newest price."""
    prices = [bike.price.date for bike in press.table.bikes if bike.price]
    return press.settings.updated or max(prices, default=None)


def law(press: Press, bike: Bike, path: str) -> Law | None:
    day = day_of(press)
    if day is None:
        return None
    here: list[Row] = []
    elsewhere: list[Row] = []
    for verdict in verdicts(bike, day):
        href = places.link(path, f"{places.LAW}#rule-{verdict.rule}")
        own = verdict.rule.split("-")[0] == press.settings.region.split("-")[0].lower()
        row = Row(verdict.region, verdict.title, href, in_words(verdict))
        (here if own else elsewhere).append(row)
    return Law(NOTICE, day, here, elsewhere, cautions.beside("law", bike))


def in_words(verdict: Verdict) -> str:
    """The category in a few words; never that a bike is legal."""
    if verdict.category == "none":
        return "none of its categories"
    if verdict.category == "unknown":
        return f"cannot be told; not given: {', '.join(verdict.missing)}"
    return f"would fall in: {verdict.category}"


def outputs(press: Press) -> Iterator[Output]:
    """The rules themselves, by region; they are the same for every bike."""
    day = day_of(press)
    if day is None:
        return
    regions: dict[str, list[Verdict]] = defaultdict(list)
    for verdict in verdicts(press.table.bikes[0], day):
        regions[verdict.region].append(verdict)
    yield press.printed(
        Sheet(
            path=places.LAW,
            template="law.html",
            title="What the law calls a bike",
            description="The rules that the pages of the bikes put their figures to, with source and day.",
            values={"regions": list(regions.items()), "notice": NOTICE},
        )
    )
