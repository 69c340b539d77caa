"""The data that explored charts load: rows of each bike, forms and library; and the pages with such charts."""

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from markupsafe import Markup

from generator.charts import embed
from generator.charts.vega import library
from generator.figures.table.figures_table import FiguresTable
from generator.pages.downloads import chart_data
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.renderer import Renderer
from tests.pages import site_example as example
from tests.pages.rendered import QuickCharts, outputs_of


def renderer(table: FiguresTable | None = None) -> Renderer:
    return Renderer(table or example.table(), example.CONTENT, Path("nowhere"), QuickCharts())


def common(made: Renderer) -> Iterator[Output]:
    """What is of many bikes, and what all charts need."""
    return outputs_of(made, chart_data.plan_jobs(made))


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    made = renderer()
    of_bikes = (
        output for bike in made.table.bikes for output in chart_data.make_bike_rows(made, bike)
    )
    return {output.path: output.data for output in (*common(made), *of_bikes)}


def value(data: bytes) -> Any:
    """The value of a data file: `guide.take("path",value);`."""
    return json.loads("[" + data.decode().removeprefix("guide.take(").removesuffix(");\n") + "]")[1]


def test_each_bike_with_curves_has_its_rows(files: dict[str, bytes]) -> None:
    rows = value(files["bikes/invor-beta/curves.js"])

    assert "range.by_level" in rows
    assert rows["range.by_level"]["y"] == [[40_000, 40_000]]
    assert "bikes/invor-delta/curves.js" not in files


def test_each_currency_has_its_prices(files: dict[str, bytes]) -> None:
    assert sorted(path for path in files if path.startswith("compare/")) == [
        "compare/prices-EUR.js",
        "compare/prices-USD.js",
    ]


def test_every_chart_knows_where_its_rows_are(files: dict[str, bytes]) -> None:
    kinds = value(files[chart_data.FORMS])["kinds"]

    assert set(kinds) == set(embed.NAMES)
    for name, kind in kinds.items():
        of = "EUR" if name == "price.range" else "invor-beta"
        assert kind["rows"].replace("{of}", of) in files


def test_colours_of_the_forms_are_tokens(files: dict[str, bytes]) -> None:
    """Every raw colour in the forms has a property of the style sheet, so that dark mode reaches it."""
    data = value(files[chart_data.FORMS])
    text = json.dumps([data["forms"], data["config"]])
    colours = {text[at : at + 7] for at in range(len(text)) if text[at] == "#"}

    assert colours <= set(data["tokens"])


def test_the_library_is_one_closed_script() -> None:
    """The licence comes first, then a function, so only what it sets on `window` reaches the page."""
    script = library.bundle_library()
    body = script.removeprefix(library.NOTICE)

    assert script.startswith("/*!")
    assert "University of Washington" in library.NOTICE
    assert body.startswith("(function () {\n")
    assert body.endswith("\n})();\n")
    assert "window.vegaEmbed" in body[-200:]


def test_no_chart_no_library() -> None:
    """A publication whose bikes have neither curves nor prices gets no files for charts."""
    bare = example.table((example.bike("invor-delta"),))

    assert list(chart_data.plan_jobs(renderer(bare))) == []


def test_a_page_with_a_chart_offers_to_explore_it() -> None:
    """The small script stands in its head; the library and the rows do not."""
    made = renderer()
    plain = Page("range/index.html", "text.html", "T", "D", {"text": example.GUIDE, "next": []})

    def page(body: str) -> str:
        values = {**plain.values, "body": Markup(body)}
        return made.render_page(replace(plain, values=values)).data.decode()

    with_chart = page(made.chart("invor-beta", "range.by_level"))

    assert '<script src="../assets/charts.js" defer></script>' in with_chart
    assert "vega.js" not in with_chart
    assert "curves.js" not in with_chart
    assert "charts.js" not in page("<p>none</p>")
