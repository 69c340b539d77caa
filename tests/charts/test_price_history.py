"""The chart of prices: steps, marks, names, months and the sentence beside it."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from generator.charts.drawing import theme
from generator.charts.drawing.lines import LineChart
from generator.charts.kinds import price_history
from generator.charts.kinds.price_history import figure_for, lay_out, shorten_names, write_finding
from generator.content.money.read import PriceObservation
from generator.figures.records.price_history import SellerPrices, build_price_history

TODAY = date(2026, 11, 25)


def seller(name: str, *seen: tuple[int, int]) -> list[PriceObservation]:
    """Observations of one seller's price, each given as days ago and amount."""
    return [
        PriceObservation("b", name, Decimal(amount), "EUR", TODAY - timedelta(days=ago), True)
        for ago, amount in seen
    ]


def sellers(*each: list[PriceObservation]) -> tuple[SellerPrices, ...]:
    rows = [one for rows in each for one in rows]
    return build_price_history(
        rows, region="EU", currency="EUR", today=TODAY, stale_days=120
    ).sellers


LOOKS = sellers(
    seller("Quay Wheels", (100, 1000), (60, 1000), (10, 900)),
    seller("Tramhill Cycle Store", (90, 950), (20, 960)),
)


def drawn(monkeypatch: pytest.MonkeyPatch) -> LineChart:
    """The layout that the picture is drawn from."""
    charts: list[LineChart] = []

    def keep(given: LineChart) -> str:
        charts.append(given)
        return '<svg width="328" height="250"></svg>'

    monkeypatch.setattr(price_history, "draw_line_chart", keep)
    figure_for(LOOKS, "key")
    return charts[0]


def test_lines_are_steps_and_every_look_is_a_mark(monkeypatch: pytest.MonkeyPatch) -> None:
    data = drawn(monkeypatch).datasets
    first = [(row["day"], row["price"]) for row in data["rows"] if row["place"] == 0]
    days = sorted({day for day, _ in first})
    assert [price for _, price in first] == [1000, 1000, 1000, 900]
    assert first[2][0] == first[3][0] == days[-1], (
        "it falls on the day on which it was seen, and not before"
    )
    assert len(data["ends"]) == 5
    assert [row["series"] for row in data["names"]] == ["Quay Wheels", "Tramhill"]
    assert len(data["keys"]) == 2, "each name has its line's mark"


def test_the_axis_is_of_months(monkeypatch: pytest.MonkeyPatch) -> None:
    epoch = date(1970, 1, 1).toordinal()
    assert [
        (date.fromordinal(int(day) + epoch).isoformat(), word)
        for day, word in drawn(monkeypatch).ticks
    ] == [("2026-09-01", "Sep"), ("2026-10-01", "Oct"), ("2026-11-01", "Nov")]


def test_it_draws_and_has_words_and_numbers() -> None:
    html = figure_for(LOOKS, "key")
    assert ">Sep<" in html
    assert "Tramhill Cycle Store most, 960\u00a0EUR" in html
    assert '<th scope="row">15 November 2026</th><td>Quay Wheels</td><td>900\u00a0EUR</td>' in html
    assert html == figure_for(LOOKS, "key")
    assert figure_for(sellers(seller("A", (3, 900))), "key") == ""


def test_findings() -> None:
    same = sellers(seller("A", (9, 900), (3, 800)), seller("B", (2, 800)))
    assert write_finding(same) == "All sellers asked 800\u00a0EUR when we last looked."
    two = sellers(seller("A", (3, 800)), seller("B", (2, 800)), seller("C", (2, 900)))
    assert "A and B asked least" in write_finding(two)
    alone = sellers(seller("A", (9, 900), (3, 800)))
    assert (
        write_finding(alone)
        == "A asked from 800\u00a0EUR to 900\u00a0EUR over the 2 times that we looked."
    )
    old = sellers(seller("A", (300, 900), (200, 900)), seller("B", (2, 800)))
    assert write_finding(old) == "B asked 800\u00a0EUR the one time that we looked."


def test_more_sellers_than_colours_are_said_to_be_left_out() -> None:
    many = sellers(*(seller(f"Seller {n}", (9, 900 + n), (3, 900 + n)) for n in range(7)))
    html = figure_for(many, "key")
    assert f"{7 - len(theme.SERIES)} more in the table above." in html


def test_names_stay_apart() -> None:
    names = ["Quay Wheels", "Quay Wheels and More", "Quay Wheels and Less", "Unbreakablelongname"]
    short = shorten_names(names)
    assert len(set(short)) == 4
    assert all(len(name) <= 12 for name in short)
    rows = [
        {"series": name, "place": 0, "day": day, "price": 9.0}
        for name in short[:1]
        for day in (1, 40)
    ]
    assert lay_out(rows, "EUR").datasets["rows"]
