"""Price against range of a large catalogue: the picture stays small, and says what it leaves out."""

import pytest

from generator.charts import embed
from generator.charts.kinds import price_against_range
from generator.charts.vega import columns
from tests.figures import demo


def test_a_few_bikes_are_all_shown() -> None:
    shown = price_against_range.select_rows(demo.table(), "EUR", "metric")

    assert shown == price_against_range.build_rows(demo.table(), "EUR", "metric")
    assert "Shown are" not in price_against_range.write_note(shown, "metric")


def test_of_many_the_picture_shows_some(monkeypatch: pytest.MonkeyPatch) -> None:
    """The picture has the numbered bikes, the ends, the furthest, and others from cheap to dear; the data to explore have all."""
    whole = price_against_range.build_rows(demo.table(), "EUR", "metric")
    words = price_against_range.write_finding(whole, "metric")
    numbered = [row["slug"] for row in whole if row["mark"]]
    monkeypatch.setattr(price_against_range, "MOST", 15)
    shown = price_against_range.select_rows(demo.table(), "EUR", "metric")

    assert len(whole) > 20
    assert len(shown) == 15
    assert shown == [row for row in whole if row in shown], "cheapest first"
    assert {row["slug"] for row in shown} >= {*numbered, whole[0]["slug"], whole[-1]["slug"]}
    assert price_against_range.write_finding(shown, "metric") == words
    assert f"Shown are 15 of {len(whole)} bikes" in price_against_range.write_note(shown, "metric")
    prices = [row["price"] for row in whole]
    middle = [row for row in shown if prices[len(prices) // 3] <= row["price"] <= prices[-5]]
    assert len(middle) >= 3
    found = columns.build_columns(demo.table(), "EUR", "price.range")
    assert found is not None
    assert sum(map(len, found["slugs"])) == len(whole)
    html = embed.figure_for(demo.table(), "EUR", "price.range", convert=lambda spec: "<svg></svg>")
    assert html.count("<tr>") <= 16
