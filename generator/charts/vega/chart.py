"""A chart for Vega-Lite whose specification is built only when it must be drawn.

Importing Altair takes longer than drawing a chart, and a chart in the cache needs no specification at all.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from generator.charts.rows import ChartRow


@dataclass(frozen=True)
class VegaChart:
    """One chart for Vega-Lite: a shared specification, its values and its rows."""

    form: Callable[[], Mapping[str, Any]]
    """Gives the specification without values and rows, which nobody may change."""
    form_key: str
    """Text that identifies the form; different for each."""
    values: Mapping[str, Any]
    """Values of the form's params by name."""
    rows: Sequence[ChartRow]

    @property
    def key(self) -> str:
        """Text that identifies the chart, for a cache; different for each."""
        told = [self.form_key, self.values, self.rows]
        return json.dumps(told, sort_keys=True, ensure_ascii=False)

    def build_spec(self) -> dict[str, Any]:
        """The whole specification, with values and rows."""
        form = self.form()
        params = [{**param, "value": self.values[param["name"]]} for param in form["params"]]
        return {**form, "params": params, "datasets": {"rows": list(self.rows)}}
