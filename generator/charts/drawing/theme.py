"""Look of all charts: sizes, colours, dashes, shapes.

The colours are single hex values that `templates/styles/charts.css` maps to tokens, so a chart follows dark mode
and print without being drawn twice. Series colours: M. Okabe and K. Ito, "Color Universal Design" (2008), blue,
vermillion and bluish green; P. Tol, "Colour schemes" (SRON/EPS/TN/09-002, 2021), bright purple. Series differ in dash
and shape as well, never in colour alone.
"""

from typing import Any

INK = "#1b2423"
MUTED = "#5b6664"
RULE = "#d3d8d4"
SERIES = ("#0072b2", "#d55e00", "#009e73", "#aa3377", INK)
DASHES = ((1, 0), (7, 3), (2, 2), (9, 3, 2, 3), (14, 4))
SHAPES = ("circle", "square", "triangle-up", "diamond", "cross")

WIDTH = 328
"""Width of a chart, the text column on a narrow phone. [px]"""
TEXT = 13.5
"""Text size; still 12 px when the chart is scaled to a screen 320 px wide. [px]"""


def config() -> dict[str, Any]:
    """Vega-Lite configuration of every chart."""
    label = {"labelColor": INK, "labelFontSize": TEXT, "labelPadding": 4}
    return {
        "aria": False,
        "background": "transparent",
        "font": "sans-serif",
        "padding": {"left": 8, "right": 2, "top": 2, "bottom": 2},
        "view": {"stroke": None},
        "axis": {
            **label,
            "aria": False,
            "domainColor": MUTED,
            "gridColor": RULE,
            "tickColor": MUTED,
            "tickSize": 4,
            "titleColor": INK,
            "titleFontSize": TEXT,
            "titleFontWeight": "normal",
            "titlePadding": 6,
        },
        "axisX": {"grid": False},
        "axisY": {"domain": False, "ticks": False},
        "title": {
            "anchor": "start",
            "aria": False,
            "color": INK,
            "fontSize": TEXT,
            "fontWeight": "normal",
            "frame": "bounds",
            "offset": 8,
        },
        "mark": {"aria": False},
        "point": {"filled": True, "size": 60, "opacity": 1},
        "text": {"color": INK, "fontSize": TEXT},
    }
