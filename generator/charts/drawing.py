"""From a chart's specification to its picture.

Vega-Lite is compiled to Vega once for each kind of chart: two charts of a kind differ in their rows and in the values of
their params alone, and those are filled into what was compiled. Neither order nor process changes a byte.
"""

import json
from typing import Any

from generator.charts.lean import lean

_compiled: dict[str, dict[str, Any]] = {}


def convert(spec: dict[str, Any]) -> str:
    """The specification as SVG without a header, sized by its `viewBox` alone, coordinates rounded."""
    import vl_convert

    return lean(vl_convert.vega_to_svg(json.dumps(vega(spec)), allowed_base_urls=[]))


def vega(spec: dict[str, Any]) -> dict[str, Any]:
    """The specification as Vega."""
    import vl_convert

    values = {param["name"]: param["value"] for param in spec.get("params", []) if "value" in param}
    datasets = spec.get("datasets", {})
    kind = json.dumps(
        {
            **spec,
            "params": [{**param, "value": None} for param in spec.get("params", [])],
            "datasets": sorted(datasets),
        },
        sort_keys=True,
    )
    if kind not in _compiled:
        _compiled[kind] = vl_convert.vegalite_to_vega(spec)
    compiled = _compiled[kind]
    return {
        **compiled,
        "signals": [
            {**signal, "value": values[signal["name"]]} if signal["name"] in values else signal
            for signal in compiled.get("signals", [])
        ],
        "data": [
            {**data, "values": datasets[data["name"]]} if data["name"] in datasets else data
            for data in compiled.get("data", [])
        ],
    }
