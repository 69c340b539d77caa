"""The chart of a bike's prices over time: one stepped line for each seller, a mark for each time that somebody looked.

* figure_for    the `<figure>` of one currency, or nothing where there is nothing to compare

A line keeps its height until the next look; what lay between two looks nobody saw. It ends with the last look. The
scale begins at nothing, so that a small cut looks small.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from markupsafe import Markup

from generator.charts import embed
from generator.charts.drawing import theme
from generator.charts.drawing.labels import by_series
from generator.charts.drawing.line_svg import line_picture
from generator.charts.drawing.lines import Kind, LineChart, line_chart, picked
from generator.charts.rows import Row
from generator.figures.records.price_cuts import money, show_day
from generator.figures.records.price_history import AtSeller

FREE = 0.58
"""Room for names at the right, as a part of the lines' width."""
MONTHS = 7
"""Month names under the chart, at most."""
_DAY = 86_400_000
"""[ms]"""


def figure_for(sellers: Sequence[AtSeller], key: str) -> Markup:
    """Prices in the one currency of `sellers`, at most five of them; empty when there is but one look.

    `key` makes the ids of the figure's parts its own on the page.
    """
    drawn = sellers[: len(theme.SERIES)]
    names = short_names([each.newest.seller for each in drawn])
    rows = [row for place, each in enumerate(drawn) for row in _looks(each, names[place], place)]
    if len({row["day"] for row in rows}) < 2:
        return Markup("")
    currency = drawn[0].newest.currency
    title = f"Prices seen, {currency}"
    return Markup(
        '<figure class="chart" id="{key}"><div class="chart__plate">{picture}</div>'
        '<figcaption><div class="chart__words"><strong>{title}</strong> '
        '<span class="chart__finding" id="{key}-about">{finding}</span> '
        '<span class="chart__note">{note}</span></div>'
        '<details class="chart__data"><summary>The numbers drawn</summary>{numbers}</details>'
        "</figcaption></figure>"
    ).format(
        key=key,
        picture=Markup(embed.named(line_picture(layout(rows, currency)), key, title)),
        title=title,
        finding=finding(drawn),
        note=_note(sellers, drawn),
        numbers=embed.data_table(title, ["Day", "Seller", "Price"], _lines(drawn)),
    )


def _looks(each: AtSeller, name: str, place: int) -> list[Row]:
    return [
        {
            "series": name,
            "place": place,
            "day": one.day.toordinal() - _EPOCH,
            "price": float(one.amount),
        }
        for one in each.rows
    ]


_EPOCH = date(1970, 1, 1).toordinal()
_LETTERS = 12
"""Of a seller's name beside the line; the table has it whole."""


def short_names(names: Sequence[str]) -> list[str]:
    """Names cut between words, or within one where the first is long; all different."""
    found: list[str] = []
    for name in names:
        short = name if len(name) <= _LETTERS else name[: _LETTERS + 1].rpartition(" ")[0]
        short = short or name[: _LETTERS - 1] + "…"
        found.append(short if short not in found else f"{short[: _LETTERS - 2]} {len(found) + 1}")
    return found


def layout(rows: Sequence[Row], currency: str) -> LineChart:
    """Of looks {series, place, day [days since 1970], price}; each seller's by day."""
    kind = Kind("day", "price", "Month", f"Price, {currency}")
    stepped = [row for line in by_series(rows).values() for row in _stepped(line)]
    first, last = min(row["day"] for row in rows), max(row["day"] for row in rows)
    ends = [
        {**line[-1], "day": last} for line in by_series(stepped).values()
    ]  # all names at the edge
    made = line_chart(kind, sorted([*stepped, *ends], key=lambda row: row["place"]))
    free = made.paper.edge - last
    marks = [
        {"mark": last + free * 0.1, "label": name["label"], "place": row["place"]}
        for name in made.drawn["names"]
        for row in ends
        if row["series"] == name["series"]
    ]
    return made._replace(
        paper=made.paper._replace(edge=last + FREE * (last - first)),
        ticks=[(day, f"{date.fromordinal(day + _EPOCH):%b}") for day in _months(first, last)],
        drawn={**made.drawn, "rows": stepped, "ends": list(rows), "keys": marks},
    )


def _stepped(line: Sequence[Row]) -> list[Row]:
    """With a corner wherever the price changed."""
    found: list[Row] = []
    for row in line:
        if found and found[-1]["price"] != row["price"]:
            found.append({**row, "price": found[-1]["price"]})
        found.append(row)
    return found


def _months(first: int, last: int) -> list[int]:
    """Firsts of months from one day to another, some of them where there are many."""
    day = date.fromordinal(first + _EPOCH)
    months, at = [], day.year * 12 + day.month - 1
    while (start := date(at // 12, at % 12 + 1, 1).toordinal() - _EPOCH) <= last:
        months += [start] if start >= first else []
        at += 1
    return picked(months, MONTHS)


def finding(drawn: Sequence[AtSeller]) -> str:
    """One sentence: which of the newest prices is lowest, or how far one seller's moved."""
    fresh = [each for each in drawn if not each.stale]
    same = {each.newest.includes_tax for each in fresh}
    if len(fresh) > 1 and len(same) == 1:
        low = min(each.newest.amount for each in fresh)
        high = max(each.newest.amount for each in fresh)
        if low == high:
            return f"All sellers asked {money(low, fresh[0].newest)} when we last looked."
        return (
            f"When we last looked {_who(fresh, low)} asked least, {money(low, fresh[0].newest)}, and "
            f"{_who(fresh, high)} most, {money(high, fresh[0].newest)}."
        )
    one = drawn[0]
    amounts = [row.amount for row in one.rows]
    if min(amounts) == max(amounts):
        asked = money(amounts[0], one.newest)
        if len(amounts) == 1:
            return f"{one.newest.seller} asked {asked} the one time that we looked."
        return f"{one.newest.seller} asked {asked} each of the {len(amounts)} times that we looked."
    low_, high_ = money(min(amounts), one.newest), money(max(amounts), one.newest)
    return f"{one.newest.seller} asked from {low_} to {high_} over the {len(amounts)} times that we looked."


def _who(sellers: Sequence[AtSeller], amount: Decimal) -> str:
    """Who asks that much, in one phrase."""
    names = [each.newest.seller for each in sellers if each.newest.amount == amount]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _note(sellers: Sequence[AtSeller], drawn: Sequence[AtSeller]) -> str:
    words = (
        "Each mark is one look; between two looks a line keeps its height, though nobody saw the price. Lines end with"
        " the last look. The scale begins at zero."
    )
    left = len(sellers) - len(drawn)
    return f"{words} {left} more in the table above." if left else words


def _lines(drawn: Sequence[AtSeller]) -> list[list[str]]:
    every = [one for each in drawn for one in each.rows]
    every.sort(key=lambda one: (one.day, one.seller))
    return [[show_day(one.day), one.seller, money(one.amount, one)] for one in every]
