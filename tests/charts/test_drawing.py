"""Drawing: the same bytes in any order and process, and nothing of a shared template is changed."""

import hashlib
import json
import subprocess
import sys

from generator.charts import embed
from generator.charts.vega.chart import VegaChart
from tests.charts.test_charts import TABLE, made
from tests.project import ROOT


def test_making_a_chart_changes_no_other() -> None:
    """Filling the shared specification from Altair changes neither it nor any earlier chart."""
    spec = made("price.range").build_spec()
    before = json.dumps(spec, sort_keys=True)
    other = embed.lay_out_chart(TABLE, "USD", "price.range", "us")  # type: ignore[arg-type] # a table with the parts that charts use

    assert isinstance(other, VegaChart)
    assert json.dumps(other.build_spec(), sort_keys=True) != before
    assert json.dumps(spec, sort_keys=True) == before
    assert json.dumps(made("price.range").build_spec(), sort_keys=True) == before


def test_another_process_draws_the_same_bytes() -> None:
    """Charts drawn in the opposite order with another hash seed are the same."""
    here = {
        name: hashlib.sha256(embed.draw_layout(made(name)).encode()).hexdigest()
        for name in embed.NAMES
    }
    code = (
        "import hashlib, json\n"
        "from generator.charts import embed\n"
        "from tests.charts.test_charts import made\n"
        "print(json.dumps({name: hashlib.sha256(embed.draw_layout(made(name)).encode()).hexdigest()"
        " for name in reversed(embed.NAMES)}))"
    )
    there = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={"PYTHONHASHSEED": "7", "PATH": ""},
        capture_output=True,
        text=True,
        check=True,
    )

    assert json.loads(there.stdout) == here
