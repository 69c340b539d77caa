"""Whether a fall in price may be announced as a cut, by the rule of the publication's region; in doubt it may not.

* find_rule    the rule of a region
* judge_cut    the verdict on one seller's prices, with the reason in a sentence

The rules bind sellers. A guide that repeats a cut makes the same claim, so it applies the same test; but it knows
only the prices that it recorded, and says so. Sources:

* European Union: Directive 98/6/EC, Article 6a(1) and (2), added by Directive (EU) 2019/2161: a cut is announced with the
  lowest price of at least the 30 days before it, of the same seller. Court of Justice, C-330/23 (26 September 2024):
  percentages and slogans are reckoned from that price too.
* United States: 16 CFR 233.1: a former price must have been offered openly, in good faith, for a reasonably substantial
  time, recently. It names no number of days; `HELD_DAYS` of `RECENT` days is a rule of this house.
* United Kingdom: Digital Markets, Competition and Consumers Act 2024, Part 4, chapter 1, forbids misleading price
  comparisons and names no number of days; this house uses the test of the European Union there.

General information, no legal advice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise

from generator.content.money.read import PriceObservation, minor_digits
from generator.figures import show
from generator.specs.english import day_in_words

WINDOW_DAYS = 30
"""Days of history before a cut. Source: Directive 98/6/EC, Article 6a(2)."""
LONGEST_GAP = 15
"""Most days between two observations of a price that counts as watched. A rule of this house."""
LONGEST_CUT = 30
"""Days after which a lower price is simply the price. A rule of this house."""
HELD_DAYS, RECENT = 28, 90
"""Days for which a former price must have held, of how many before the cut. A rule of this house for 16 CFR 233.1."""
EUROPEAN_UNION = frozenset(
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
"""The European Union and its members, ISO 3166-1; the Union writes EL for Greece."""


@dataclass(frozen=True)
class PriceCutRule:
    """A region's rule on announced price cuts."""

    id: str
    """EU, UK, US, or empty where we know no rule."""
    words: str
    """One or two sentences for readers, with the source."""


RULES = {
    "EU": PriceCutRule(
        "EU",
        "A cut is measured from the lowest price of the 30 days before it at the same seller (Directive 98/6/EC,"
        " Article 6a; Court of Justice, C-330/23). We announce one only if we watched the price for those 30 days.",
    ),
    "UK": PriceCutRule(
        "UK",
        "The law forbids misleading comparisons with a former price and names no number of days (Digital Markets,"
        " Competition and Consumers Act 2024, Part 4). Our own rule is stricter: a cut is measured from the lowest"
        " price of the 30 days before it at the same seller, and only if we watched the price for those days.",
    ),
    "US": PriceCutRule(
        "US",
        "A former price must have been a genuine one, openly offered for a substantial time (16 CFR 233.1). The law"
        f" names no number of days; by our own rule we must have seen it on {HELD_DAYS} of the {RECENT} days before.",
    ),
    "": PriceCutRule(
        "",
        "We know no rule about announced price cuts here, so we announce none: there are list prices, and the lowest"
        " price that we recorded.",
    ),
}


@dataclass(frozen=True)
class PriceCut:
    """The verdict on the newest price of one seller."""

    words: str
    """One sentence: the cut, or why none is announced."""
    percent: int = 0
    """Whole percent, rounded down; 0 when no cut is announced."""
    former: Decimal | None = None
    """Price that the cut is measured from; None when no cut is announced."""
    flag: str = ""
    """A remark for the reader; mostly empty."""

    @property
    def announced(self) -> bool:
        return self.percent > 0


def find_rule(region: str) -> PriceCutRule:
    """The rule of a region such as EU, DE, UK, GB, US or US-CA."""
    country = region.split("-")[0]
    if country in EUROPEAN_UNION:
        return RULES["EU"]
    return RULES[{"UK": "UK", "GB": "UK", "US": "US"}.get(country, "")]


def judge_cut(
    rows: Sequence[PriceObservation], region: str, today: date | None, *, stale: bool
) -> PriceCut:
    """Whether the newest of one seller's prices may be announced as a cut.

    Parameters
    ----------
    rows
        Observations of one bike at one seller in one currency, oldest first; at least one.
    region
        As in `content/site.yaml`.
    today
        Day of the publication; None when unknown.
    stale
        Whether the newest price is old.
    """
    rule, newest = find_rule(region), rows[-1]
    first = _find_present_price(rows)
    before = rows[first - 1].amount if first else newest.amount
    if before == newest.amount:
        return PriceCut("No change of the price is on our record.")
    if before < newest.amount:
        return PriceCut(f"The last change was a rise, {_format_seen(rows[first])}.")
    fallen = f"The price fell from {format_price(before, newest)} {_format_seen(rows[first])}"
    if not rule.id:
        return PriceCut(f"{fallen}; we announce no cuts here.")
    if stale or today is None:
        return PriceCut(f"{fallen}, but nobody has checked it lately.")
    if (today - rows[first].day).days > LONGEST_CUT:
        return PriceCut(
            f"{fallen}; a price that has held for over {LONGEST_CUT} days is no cut any more."
        )
    if rule.id == "US":
        return _judge_by_former_price(rows, first, fallen)
    if not newest.includes_tax:
        return PriceCut(
            f"{fallen}; the price is without tax, and a cut is measured on the final price."
        )
    return _judge_by_lowest_price(rows, first, fallen)


def _find_present_price(rows: Sequence[PriceObservation]) -> int:
    """Place of the first observation of the price that holds now."""
    first = len(rows) - 1
    while first and rows[first - 1].amount == rows[-1].amount:
        first -= 1
    return first


def _judge_by_lowest_price(rows: Sequence[PriceObservation], first: int, fallen: str) -> PriceCut:
    """By the lowest price of the 30 days before.

    The fall came on an unknown day after the last higher price, so the window reaches from 30 days before the earliest
    such day to the day on which the lower price was seen: its lowest price is no higher than the one the rule asks for.
    """
    start = rows[first].day
    opens = rows[first - 1].day + timedelta(days=1) - timedelta(days=WINDOW_DAYS)
    begun = [at for at in range(first) if rows[at].day <= opens]
    if not begun:
        words = f"{fallen}; we have not recorded the {WINDOW_DAYS} days before it, so we announce no cut."
        return PriceCut(words)
    watched = rows[begun[-1] : first + 1]
    if any((after.day - one.day).days > LONGEST_GAP for one, after in pairwise(watched)):
        words = (
            f"{fallen}; in the {WINDOW_DAYS} days before we looked too seldom to announce a cut."
        )
        return PriceCut(words)
    window = watched[:-1]
    lowest = min(one.amount for one in window)
    newest = rows[-1]
    if newest.amount >= lowest:
        less = "as little" if newest.amount == lowest else f"less, {format_price(lowest, newest)}"
        return PriceCut(
            f"{fallen}, but it was {less} within the {WINDOW_DAYS} days before: no cut."
        )
    percent = _compute_percent(lowest, newest.amount)
    if not percent:
        return PriceCut(f"{fallen}: less than one percent.")
    words = (
        f"Cut by {percent} % from {format_price(lowest, newest)}, the lowest price that we recorded at this seller in the"
        f" {WINDOW_DAYS} days before {day_in_words(start)}."
    )
    stepped = window[0].amount > window[-1].amount == lowest and all(
        after.amount <= one.amount for one, after in pairwise(window)
    )
    return PriceCut(words, percent, lowest, _STEPS_REMARK if stepped else "")


_STEPS_REMARK = (
    "It fell in steps. Some states let a seller count from the price before the first one (Directive 98/6/EC, Article"
    " 6a(5)); we count from the lowest."
)


def _judge_by_former_price(rows: Sequence[PriceObservation], first: int, fallen: str) -> PriceCut:
    """By the price before, if it was held for long enough and not long ago."""
    newest, before = rows[-1], rows[first - 1].amount
    held = _count_days_at_price(before, rows[:first], rows[first].day)
    if held < HELD_DAYS:
        words = f"{fallen}; we saw that price on {held} of the {RECENT} days before, and our rule asks for {HELD_DAYS}: no cut."
        return PriceCut(words)
    percent = _compute_percent(before, newest.amount)
    if not percent:
        return PriceCut(f"{fallen}: less than one percent.")
    words = f"Cut by {percent} % from {format_price(before, newest)}, which we saw on {held} of the {RECENT} days before."
    return PriceCut(words, percent, before)


def _count_days_at_price(amount: Decimal, rows: Sequence[PriceObservation], end: date) -> int:
    """Days at a price in the `RECENT` days before `end`: days on which it was seen, and those between two such looks."""
    first = end - timedelta(days=RECENT)
    days = {one.day for one in rows if one.amount == amount}
    for one, after in pairwise(rows):
        apart = (after.day - one.day).days
        if one.amount == after.amount == amount and apart <= LONGEST_GAP:
            days |= {one.day + timedelta(days=step) for step in range(apart)}
    return sum(first <= day < end for day in days)


def _compute_percent(former: Decimal, now: Decimal) -> int:
    """Whole percent, rounded down so that it never says too much."""
    return int((former - now) * 100 / former)


def format_price(amount: Decimal, like: PriceObservation) -> str:
    """An amount in the currency of an observation: `3290 EUR`, `3290.50 EUR`, without a break between."""
    whole = amount == amount.to_integral_value()
    return f"{show.format_digits(float(amount), 0 if whole else minor_digits(like.currency))}\u00a0{like.currency}"


def _format_seen(one: PriceObservation) -> str:
    return f"(seen {day_in_words(one.day)})"
