"""From a chart's specification to its picture."""

from typing import Any

from generator.charts.drawing.minify import lean


def convert(spec: dict[str, Any]) -> str:
    """The specification as SVG without a header, sized by its `viewBox` alone, coordinates rounded."""
    import vl_convert

    return lean(vl_convert.vegalite_to_svg(spec, allowed_base_urls=[]))
