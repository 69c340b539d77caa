"""Drawing that is slow and depends on little: Vega charts, pictures for links, and the chart library itself.

A build passes a subclass that stores its results.
"""

from functools import cache
from pathlib import Path

from generator.charts import embed
from generator.charts.vega import library
from generator.charts.vega.chart import VegaChart
from generator.pages.pictures.draw_picture import PictureContent, draw_picture


class Drawings:
    """Draws afresh at each call."""

    def chart(self, chart: VegaChart) -> str:
        """Return a chart as SVG."""
        return embed.draw_with_vega(chart)

    def picture(self, card: PictureContent) -> bytes:
        """Return a picture for a link as PNG."""
        return draw_picture(card)

    def chart_library(self) -> str:
        """Return the script that draws charts in the browser."""
        return library.bundle_library()


@cache
def read_module(path: str) -> str:
    """Return the source of the module with this `__file__`, which is part of the key of stored drawings."""
    return Path(path).read_text("utf-8")
