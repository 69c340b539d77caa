"""Chart of a bike's prices over time: one stepped line per seller, a mark for each day on which the price was looked up.

* figure_for      the `<figure>` of one currency, or nothing if there is nothing to compare
* shorten_names   sellers' names short enough for the chart
* lay_out         the lines laid out
* write_finding   the sentence beside the picture

A line keeps its height until the next look and ends with the last; prices between two looks are unknown. The scale
begins at zero, so that a small cut looks small.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from markupsafe import Markup

from generator.charts import embed
from generator.charts.drawing import theme
from generator.charts.drawing.labels import group_by_series
from generator.charts.drawing.line_svg import draw_line_chart
from generator.charts.drawing.lines import LineChart, LineKind, lay_out_lines, pick_evenly
from generator.charts.rows import ChartRow
from generator.figures.records.price_cuts import format_price
from generator.figures.records.price_history import SellerPrices
from generator.specs.english import day_in_words

FREE = 0.58
"""Room for names at the right, as a share of the lines' width."""
MONTHS = 7
"""Most month names under the chart."""
_DAY = 86_400_000
"""Length of a day. [ms]"""


def figure_for(sellers: Sequence[SellerPrices], key: str) -> Markup:
    """Prices of at most five of `sellers`, all in one currency; empty unless prices were seen on two days.

    `key` makes the ids in the figure unique on the page.
    """
    drawn = sellers[: len(theme.SERIES)]
    names = shorten_names([each.newest.seller for each in drawn])
    rows = [
        row for place, each in enumerate(drawn) for row in _build_rows(each, names[place], place)
    ]
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
        picture=Markup(embed.name_svg(draw_line_chart(lay_out(rows, currency)), key, title)),
        title=title,
        finding=write_finding(drawn),
        note=_write_note(sellers, drawn),
        numbers=embed.render_data_table(title, ["Day", "Seller", "Price"], _table_lines(drawn)),
    )


def _build_rows(each: SellerPrices, name: str, place: int) -> list[ChartRow]:
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
"""Most letters of a seller's name beside the line; the table has it whole."""


def shorten_names(names: Sequence[str]) -> list[str]:
    """Names cut after a word, or within it if the first is long; all different."""
    found: list[str] = []
    for name in names:
        short = name if len(name) <= _LETTERS else name[: _LETTERS + 1].rpartition(" ")[0]
        short = short or name[: _LETTERS - 1] + "…"
        found.append(short if short not in found else f"{short[: _LETTERS - 2]} {len(found) + 1}")
    return found


def lay_out(rows: Sequence[ChartRow], currency: str) -> LineChart:
    """The chart of rows {series, place, day [days since 1970], price}, each seller's in order of day."""
    kind = LineKind("day", "price", "Month", f"Price, {currency}")
    stepped = [row for line in group_by_series(rows).values() for row in _add_corners(line)]
    first, last = min(row["day"] for row in rows), max(row["day"] for row in rows)
    ends = [
        {**line[-1], "day": last} for line in group_by_series(stepped).values()
    ]  # so all names stand at the edge
    made = lay_out_lines(kind, sorted([*stepped, *ends], key=lambda row: row["place"]))
    free = made.plot_area.edge - last
    marks = [
        {"mark": last + free * 0.1, "label": name["label"], "place": row["place"]}
        for name in made.datasets["names"]
        for row in ends
        if row["series"] == name["series"]
    ]
    return made._replace(
        plot_area=made.plot_area._replace(edge=last + FREE * (last - first)),
        ticks=[
            (day, f"{date.fromordinal(day + _EPOCH):%b}") for day in _list_month_starts(first, last)
        ],
        datasets={**made.datasets, "rows": stepped, "ends": list(rows), "keys": marks},
    )


def _add_corners(line: Sequence[ChartRow]) -> list[ChartRow]:
    """The line with a corner wherever the price changed."""
    found: list[ChartRow] = []
    for row in line:
        if found and found[-1]["price"] != row["price"]:
            found.append({**row, "price": found[-1]["price"]})
        found.append(row)
    return found


def _list_month_starts(first: int, last: int) -> list[int]:
    """First days of months between two days, at most `MONTHS` of them. [days since 1970]"""
    day = date.fromordinal(first + _EPOCH)
    months, at = [], day.year * 12 + day.month - 1
    while (start := date(at // 12, at % 12 + 1, 1).toordinal() - _EPOCH) <= last:
        months += [start] if start >= first else []
        at += 1
    return pick_evenly(months, MONTHS)


def write_finding(drawn: Sequence[SellerPrices]) -> str:
    """One sentence: who asks least now, or how far one seller's price moved."""
    fresh = [each for each in drawn if not each.stale]
    same = {each.newest.includes_tax for each in fresh}
    if len(fresh) > 1 and len(same) == 1:
        low = min(each.newest.amount for each in fresh)
        high = max(each.newest.amount for each in fresh)
        if low == high:
            return f"All sellers asked {format_price(low, fresh[0].newest)} when we last looked."
        return (
            f"When we last looked {_join_sellers(fresh, low)} asked least, {format_price(low, fresh[0].newest)}, and "
            f"{_join_sellers(fresh, high)} most, {format_price(high, fresh[0].newest)}."
        )
    one = drawn[0]
    amounts = [row.amount for row in one.rows]
    if min(amounts) == max(amounts):
        asked = format_price(amounts[0], one.newest)
        if len(amounts) == 1:
            return f"{one.newest.seller} asked {asked} the one time that we looked."
        return f"{one.newest.seller} asked {asked} each of the {len(amounts)} times that we looked."
    low_, high_ = format_price(min(amounts), one.newest), format_price(max(amounts), one.newest)
    return f"{one.newest.seller} asked from {low_} to {high_} over the {len(amounts)} times that we looked."


def _join_sellers(sellers: Sequence[SellerPrices], amount: Decimal) -> str:
    """Names of the sellers who ask this amount, in one phrase."""
    names = [each.newest.seller for each in sellers if each.newest.amount == amount]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _write_note(sellers: Sequence[SellerPrices], drawn: Sequence[SellerPrices]) -> str:
    words = (
        "Each mark is one look; between two looks a line keeps its height, though nobody saw the price. Lines end with"
        " the last look. The scale begins at zero."
    )
    left = len(sellers) - len(drawn)
    return f"{words} {left} more in the table above." if left else words


def _table_lines(drawn: Sequence[SellerPrices]) -> list[list[str]]:
    every = [one for each in drawn for one in each.rows]
    every.sort(key=lambda one: (one.day, one.seller))
    return [[day_in_words(one.day), one.seller, format_price(one.amount, one)] for one in every]
