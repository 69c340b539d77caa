"""A chart for Vega-Lite that is put together only when it must be drawn.

Importing Altair takes longer than drawing a chart, and one that was drawn before need not be put together at all.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from generator.charts.rows import Row


@dataclass(frozen=True)
class VegaChart:
    form: Callable[[], Mapping[str, Any]]
    """Gives the specification without values; it is not changed."""
    made_by: str
    """Says which form that is: another text for another form."""
    values: Mapping[str, Any]
    """Of the form's params, by their names."""
    rows: Sequence[Row]

    @property
    def key(self) -> str:
        """Another text for another chart."""
        told = [self.made_by, self.values, self.rows]
        return json.dumps(told, sort_keys=True, ensure_ascii=False)

    def spec(self) -> dict[str, Any]:
        """The whole specification."""
        form = self.form()
        params = [{**param, "value": self.values[param["name"]]} for param in form["params"]]
        return {**form, "params": params, "datasets": {"rows": list(self.rows)}}
