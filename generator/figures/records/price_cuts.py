"""May a fall in a price be announced as a cut? By the rule of the publication's region, and never in doubt.

* rule_of    the rule of a region
* cut        the verdict on one seller's prices, with the reason in a sentence

The rules bind sellers. A guide that repeats a cut tells its readers the same thing, so it keeps to the same test; but it
knows only what it saw, and says so. Sources:

* European Union: Directive 98/6/EC, Article 6a(1) and (2), added by Directive (EU) 2019/2161: a cut is announced with the
  lowest price of at least the 30 days before it, of the same seller. Court of Justice, C-330/23 (26 September 2024):
  percentages and slogans are reckoned from that price too.
* United States: 16 CFR 233.1: a former price must have been offered openly, in good faith, for a reasonably substantial
  time, recently. It names no number of days; `HELD` of `RECENT` days is a rule of this house.
* United Kingdom: Digital Markets, Competition and Consumers Act 2024, Part 4, chapter 1, forbids misleading price
  comparisons and names no number of days; this house uses the test of the European Union there.

General information, no legal advice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise

from generator.content.money.read import Observation, minor_digits
from generator.figures import show

DAYS = 30
"""Of the history before a cut. Source: Directive 98/6/EC, Article 6a(2)."""
GAP = 15
"""Days between two looks at a price, at most, for it to count as watched. A rule of this house."""
LASTS = 30
"""A lower price that has held for longer is simply the price. A rule of this house. [days]"""
HELD, RECENT = 28, 90
"""A former price held for so many of so many days before the cut. A rule of this house for 16 CFR 233.1."""
UNION = frozenset(
    [
        "EU",
        "AT",
        "BE",
        "BG",
        "HR",
        "CY",
        "CZ",
        "DK",
        "EE",
        "FI",
        "FR",
        "DE",
        "GR",
        "EL",
        "HU",
        "IE",
        "IT",
        "LV",
        "LT",
        "LU",
        "MT",
        "NL",
        "PL",
        "PT",
        "RO",
        "SK",
        "SI",
        "ES",
        "SE",
    ]
)
"""The Union and its members, ISO 3166-1; the Union itself writes EL for Greece."""


@dataclass(frozen=True)
class Rule:
    id: str
    """EU, UK, US, or empty where none is known here."""
    words: str
    """One or two sentences for readers, with the source."""


RULES = {
    "EU": Rule(
        "EU",
        "A cut is measured from the lowest price of the 30 days before it at the same seller (Directive 98/6/EC,"
        " Article 6a; Court of Justice, C-330/23). We announce one only if we watched the price for those 30 days.",
    ),
    "UK": Rule(
        "UK",
        "The law forbids misleading comparisons with a former price and names no number of days (Digital Markets,"
        " Competition and Consumers Act 2024, Part 4). Our own rule is stricter: a cut is measured from the lowest"
        " price of the 30 days before it at the same seller, and only if we watched the price for those days.",
    ),
    "US": Rule(
        "US",
        "A former price must have been a genuine one, openly offered for a substantial time (16 CFR 233.1). The law"
        f" names no number of days; by our own rule we must have seen it on {HELD} of the {RECENT} days before.",
    ),
    "": Rule(
        "",
        "We know no rule about announced price cuts here, so we announce none: there are list prices, and the lowest"
        " price that we recorded.",
    ),
}


@dataclass(frozen=True)
class Cut:
    """The verdict on the newest price of one seller."""

    words: str
    """One sentence: the cut, or why none is announced."""
    percent: int = 0
    """Whole percent, rounded down; 0 when no cut is announced."""
    former: Decimal | None = None
    """What it is measured from; None when no cut is announced."""
    flag: str = ""
    """What a reader should know beside it; mostly empty."""

    @property
    def announced(self) -> bool:
        return self.percent > 0


def rule_of(region: str) -> Rule:
    """The rule of a region such as EU, DE, UK, GB, US or US-CA."""
    country = region.split("-")[0]
    if country in UNION:
        return RULES["EU"]
    return RULES[{"UK": "UK", "GB": "UK", "US": "US"}.get(country, "")]


def cut(rows: Sequence[Observation], region: str, today: date | None, *, stale: bool) -> Cut:
    """Whether the newest of one seller's prices may be announced as a cut.

    Parameters
    ----------
    rows
        Observations of one bike at one seller in one currency, oldest first; at least one.
    region
        As in `content/site.yaml`.
    today
        The day of the publication, None when nothing says which it is.
    stale
        Whether the newest price is old.
    """
    rule, newest = rule_of(region), rows[-1]
    first = _run(rows)
    before = rows[first - 1].amount if first else newest.amount
    if before == newest.amount:
        return Cut("No change of the price is on our record.")
    if before < newest.amount:
        return Cut(f"The last change was a rise, {_on(rows[first])}.")
    fallen = f"The price fell from {money(before, newest)} {_on(rows[first])}"
    if not rule.id:
        return Cut(f"{fallen}; we announce no cuts here.")
    if stale or today is None:
        return Cut(f"{fallen}, but nobody has checked it lately.")
    if (today - rows[first].day).days > LASTS:
        return Cut(f"{fallen}; a price that has held for over {LASTS} days is no cut any more.")
    if rule.id == "US":
        return _former(rows, first, fallen)
    if not newest.includes_tax:
        return Cut(f"{fallen}; the price is without tax, and a cut is measured on the final price.")
    return _prior(rows, first, fallen)


def _run(rows: Sequence[Observation]) -> int:
    """Place of the first observation of the price that holds now."""
    first = len(rows) - 1
    while first and rows[first - 1].amount == rows[-1].amount:
        first -= 1
    return first


def _prior(rows: Sequence[Observation], first: int, fallen: str) -> Cut:
    """By the lowest price of the 30 days before.

    The fall came on an unknown day after the last higher price, so the window reaches from 30 days before the earliest
    such day to the day on which the lower price was seen: what is lowest in it is no higher than what the rule asks for.
    """
    start = rows[first].day
    opens = rows[first - 1].day + timedelta(days=1) - timedelta(days=DAYS)
    begun = [at for at in range(first) if rows[at].day <= opens]
    if not begun:
        words = f"{fallen}; we have not recorded the {DAYS} days before it, so we announce no cut."
        return Cut(words)
    watched = rows[begun[-1] : first + 1]
    if any((after.day - one.day).days > GAP for one, after in pairwise(watched)):
        words = f"{fallen}; in the {DAYS} days before we looked too seldom to announce a cut."
        return Cut(words)
    window = watched[:-1]
    lowest = min(one.amount for one in window)
    newest = rows[-1]
    if newest.amount >= lowest:
        less = "as little" if newest.amount == lowest else f"less, {money(lowest, newest)}"
        return Cut(f"{fallen}, but it was {less} within the {DAYS} days before: no cut.")
    percent = _percent(lowest, newest.amount)
    if not percent:
        return Cut(f"{fallen}: less than one percent.")
    words = (
        f"Cut by {percent} % from {money(lowest, newest)}, the lowest price that we recorded at this seller in the"
        f" {DAYS} days before {show_day(start)}."
    )
    stepped = window[0].amount > window[-1].amount == lowest and all(
        after.amount <= one.amount for one, after in pairwise(window)
    )
    return Cut(words, percent, lowest, _STEPS if stepped else "")


_STEPS = (
    "It fell in steps. Some states let a seller count from the price before the first one (Directive 98/6/EC, Article"
    " 6a(5)); we count from the lowest."
)


def _former(rows: Sequence[Observation], first: int, fallen: str) -> Cut:
    """By the price before, if it was held for long enough and not long ago."""
    newest, before = rows[-1], rows[first - 1].amount
    held = _days_at(before, rows[:first], rows[first].day)
    if held < HELD:
        words = f"{fallen}; we saw that price on {held} of the {RECENT} days before, and our rule asks for {HELD}: no cut."
        return Cut(words)
    percent = _percent(before, newest.amount)
    if not percent:
        return Cut(f"{fallen}: less than one percent.")
    words = f"Cut by {percent} % from {money(before, newest)}, which we saw on {held} of the {RECENT} days before."
    return Cut(words, percent, before)


def _days_at(amount: Decimal, rows: Sequence[Observation], end: date) -> int:
    """Days at a price in the `RECENT` days before `end`: days on which it was seen, and those between two such looks."""
    first = end - timedelta(days=RECENT)
    days = {one.day for one in rows if one.amount == amount}
    for one, after in pairwise(rows):
        apart = (after.day - one.day).days
        if one.amount == after.amount == amount and apart <= GAP:
            days |= {one.day + timedelta(days=step) for step in range(apart)}
    return sum(first <= day < end for day in days)


def _percent(former: Decimal, now: Decimal) -> int:
    """Whole percent, rounded down so that it never says too much."""
    return int((former - now) * 100 / former)


def money(amount: Decimal, like: Observation) -> str:
    """An amount in the currency of an observation: `3290 EUR`, `3290.50 EUR`, without a break between."""
    whole = amount == amount.to_integral_value()
    return f"{show.digits(float(amount), 0 if whole else minor_digits(like.currency))}\u00a0{like.currency}"


def show_day(when: date) -> str:
    return f"{when.day} {when:%B} {when.year}"


def _on(one: Observation) -> str:
    return f"(seen {show_day(one.day)})"
