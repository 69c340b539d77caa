"""Drawing of a Vega-Lite specification as SVG."""

from typing import Any

from generator.charts.drawing.minify import minify_svg


def draw_spec(spec: dict[str, Any]) -> str:
    """The specification as minified SVG, coordinates rounded."""
    import vl_convert

    return minify_svg(vl_convert.vegalite_to_svg(spec, allowed_base_urls=[]))
