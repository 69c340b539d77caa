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
    """The specification that Altair made is shared; filling it leaves it, and every earlier chart, as they were."""
    spec = made("price.range").spec()
    before = json.dumps(spec, sort_keys=True)
    other = embed.layout(TABLE, "USD", "price.range", "us")  # type: ignore[arg-type] # a table with the parts that charts use

    assert isinstance(other, VegaChart)
    assert json.dumps(other.spec(), sort_keys=True) != before
    assert json.dumps(spec, sort_keys=True) == before
    assert json.dumps(made("price.range").spec(), sort_keys=True) == before


def test_another_process_draws_the_same_bytes() -> None:
    """In the opposite order, with another hash seed."""
    here = {
        name: hashlib.sha256(embed.drawn(made(name)).encode()).hexdigest() for name in embed.NAMES
    }
    code = (
        "import hashlib, json\n"
        "from generator.charts import embed\n"
        "from tests.charts.test_charts import made\n"
        "print(json.dumps({name: hashlib.sha256(embed.drawn(made(name)).encode()).hexdigest()"
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
