"""Charts are drawn once for each specification."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from generator.charts.drawing import draw_svg, minify, theme
from generator.charts.kinds import price_against_range
from generator.charts.vega import library
from generator.charts.vega.chart import VegaChart
from generator.publish.cache.chart_cache import ChartCache
from tests.charts.test_charts import made


class Pen:
    """Counts what it draws."""

    def __init__(self) -> None:
        self.drawn: list[dict[str, Any]] = []

    def draw(self, chart: VegaChart) -> str:
        spec = chart.spec()
        self.drawn.append(spec)
        return f"<svg>{spec['mark']}</svg>"


def chart(values: dict[str, Any]) -> VegaChart:
    """A chart that is nothing but these values."""
    return VegaChart(lambda: {**values, "params": []}, "test", values, [])


def test_a_chart_is_drawn_once(tmp_path: Path) -> None:
    """The next build reads what this one drew, whatever the order of the keys."""
    pen = Pen()
    first = ChartCache(tmp_path / "charts", pen.draw).convert(chart({"mark": "bär", "width": 1}))
    again = ChartCache(tmp_path / "charts", pen.draw).convert(chart({"width": 1, "mark": "bär"}))

    assert first == again == "<svg>bär</svg>"
    assert len(pen.drawn) == 1


def test_another_specification_is_another_chart(tmp_path: Path) -> None:
    pen = Pen()
    cache = ChartCache(tmp_path, pen.draw)

    assert cache.convert(chart({"mark": "bar"})) != cache.convert(chart({"mark": "line"}))


def test_unused_charts_are_forgotten(tmp_path: Path) -> None:
    """The cache holds what the last build used, and no more."""
    pen = Pen()
    ChartCache(tmp_path, pen.draw).convert(chart({"mark": "bar"}))
    cache = ChartCache(tmp_path, pen.draw)
    cache.convert(chart({"mark": "line"}))
    cache.forget_unused()

    assert [path.read_text("utf-8")[65:] for path in tmp_path.iterdir()] == ["<svg>line</svg>"]


def test_a_cache_that_cannot_be_kept_costs_only_time(tmp_path: Path) -> None:
    (tmp_path / "charts").write_text("a file stands where the folder should be")
    pen = Pen()

    assert (
        ChartCache(tmp_path / "charts", pen.draw).convert(chart({"mark": "bar"}))
        == "<svg>bar</svg>"
    )


def test_the_library_is_bundled_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It takes a second or more; the next build reads it, and what is not asked for is forgotten."""
    asked: list[str] = []

    def source() -> str:
        asked.append("once")
        return "// drawn"

    monkeypatch.setattr(library, "source", source)
    first = ChartCache(tmp_path).explorer()
    cache = ChartCache(tmp_path)

    assert first == cache.explorer() == "// drawn"
    assert asked == ["once"]
    cache.forget_unused()
    assert [path.suffix for path in tmp_path.iterdir()] == [".js"]


@pytest.mark.parametrize("module", [draw_svg, minify])
def test_other_code_is_another_chart(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, module: ModuleType
) -> None:
    """The key holds the code that turns a specification into a picture."""
    pen = Pen()
    ChartCache(tmp_path / "charts", pen.draw).convert(chart({"mark": "bar"}))
    changed = tmp_path / "changed.py"
    changed.write_text(Path(str(module.__file__)).read_text("utf-8") + "# changed\n", "utf-8")
    monkeypatch.setattr(module, "__file__", str(changed))
    ChartCache(tmp_path / "charts", pen.draw).convert(chart({"mark": "bar"}))

    assert len(pen.drawn) == 2


def test_whatever_shapes_the_picture_makes_another_chart(tmp_path: Path) -> None:
    pen = Pen()
    cache = ChartCache(tmp_path, pen.draw)
    first = VegaChart(
        lambda: {"mark": "bar", "params": [{"name": "top"}]}, "a form", {"top": 1}, [{"x": 1}]
    )
    for change in ({}, {"made_by": "another"}, {"values": {"top": 2}}, {"rows": [{"x": 2}]}, {}):
        cache.convert(replace(first, **change))

    assert len(pen.drawn) == 4


@pytest.mark.parametrize("module", [price_against_range, theme])
def test_the_form_is_told_by_what_makes_it(
    module: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The chart of prices: currency, unit, and every line of the code that lays it out."""
    price_against_range._code.cache_clear()
    before = made("price.range").key
    changed = tmp_path / "changed.py"
    changed.write_text(Path(str(module.__file__)).read_text("utf-8") + "# changed\n", "utf-8")
    monkeypatch.setattr(module, "__file__", str(changed))
    price_against_range._code.cache_clear()
    after = made("price.range").key
    price_against_range._code.cache_clear()

    assert after != before


@pytest.mark.parametrize(
    "spoil",
    [lambda kept: kept[:-1], lambda kept: kept + b"<", lambda kept: b"", lambda kept: kept[65:]],
)
def test_a_spoilt_file_is_drawn_anew(tmp_path: Path, spoil: Callable[[bytes], bytes]) -> None:
    """Cut short, added to, emptied, or of a foreign form: never trusted, and put right."""
    pen = Pen()
    first = ChartCache(tmp_path, pen.draw).convert(chart({"mark": "bar"}))
    (kept,) = tmp_path.iterdir()
    sound = kept.read_bytes()
    kept.write_bytes(spoil(sound))

    assert ChartCache(tmp_path, pen.draw).convert(chart({"mark": "bar"})) == first
    assert kept.read_bytes() == sound
    assert len(pen.drawn) == 2


def test_a_chart_under_another_ones_name_is_not_taken(tmp_path: Path) -> None:
    pen = Pen()
    for folder, mark in (("a", "bar"), ("b", "line")):
        ChartCache(tmp_path / folder, pen.draw).convert(chart({"mark": mark}))
    (bar,), (line,) = ((tmp_path / folder).iterdir() for folder in "ab")
    bar.write_bytes(line.read_bytes())
    ChartCache(tmp_path / "a", pen.draw).convert(chart({"mark": "bar"}))

    assert len(pen.drawn) == 3
