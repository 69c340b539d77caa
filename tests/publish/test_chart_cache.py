"""Charts are drawn once for each specification."""

from pathlib import Path
from typing import Any

from generator.publish.chart_cache import ChartCache


class Pen:
    """Counts what it draws."""

    def __init__(self) -> None:
        self.drawn: list[dict[str, Any]] = []

    def draw(self, spec: dict[str, Any]) -> str:
        self.drawn.append(spec)
        return f"<svg>{spec['mark']}</svg>"


def test_a_chart_is_drawn_once(tmp_path: Path) -> None:
    """The next build reads what this one drew, whatever the order of the keys."""
    pen = Pen()
    first = ChartCache(tmp_path / "charts", pen.draw).convert({"mark": "bär", "width": 1})
    again = ChartCache(tmp_path / "charts", pen.draw).convert({"width": 1, "mark": "bär"})

    assert first == again == "<svg>bär</svg>"
    assert len(pen.drawn) == 1


def test_another_specification_is_another_chart(tmp_path: Path) -> None:
    pen = Pen()
    cache = ChartCache(tmp_path, pen.draw)

    assert cache.convert({"mark": "bar"}) != cache.convert({"mark": "line"})


def test_unused_charts_are_forgotten(tmp_path: Path) -> None:
    """The cache holds what the last build used, and no more."""
    pen = Pen()
    ChartCache(tmp_path, pen.draw).convert({"mark": "bar"})
    cache = ChartCache(tmp_path, pen.draw)
    cache.convert({"mark": "line"})
    cache.forget_unused()

    assert [path.read_text("utf-8") for path in tmp_path.iterdir()] == ["<svg>line</svg>"]


def test_a_cache_that_cannot_be_kept_costs_only_time(tmp_path: Path) -> None:
    (tmp_path / "charts").write_text("a file stands where the folder should be")
    pen = Pen()

    assert ChartCache(tmp_path / "charts", pen.draw).convert({"mark": "bar"}) == "<svg>bar</svg>"
