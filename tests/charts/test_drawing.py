"""Drawing: one compilation for each kind of chart, and the same bytes in any order and process."""

import hashlib
import json
import subprocess
import sys
from typing import Any

import pytest
import vl_convert

from generator.charts import drawing, svg
from generator.charts.lean import lean
from tests.charts.test_charts import ROOT, TABLE, Table, made, ranges, speeds


def other(name: str) -> dict[str, Any]:
    """Another chart of the same kind, with other rows."""
    rows = {
        "hills.speed_by_grade": speeds(("A", "B")),
        "range.by_level": ranges(55_000.0),
        **{
            key: [dict(row, **{value: row[value] * 0.7}) for row in TABLE.rows[key]]
            for key, value in (
                ("assist.motor_by_rider", "motor_power"),
                ("assist.launch", "speed"),
                ("gears.cadence_by_speed", "cadence"),
            )
        },
    }
    slug = "USD" if name == "price.range" else "invor-alpa"
    spec = svg.spec(Table(rows), slug, name)  # type: ignore[arg-type] # a table with the parts that charts use
    assert spec is not None
    return spec


@pytest.mark.parametrize("name", [name for name in svg.NAMES if name != "price.range"])
def test_a_chart_filled_into_what_another_compiled_is_the_same(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As if vl-convert had drawn its Vega-Lite alone, to the byte; and Vega-Lite was compiled once."""
    spec, first = made(name), other(name)
    alone = lean(vl_convert.vegalite_to_svg(spec))
    monkeypatch.setattr(drawing, "_compiled", {})

    drawing.convert(first)
    filled = drawing.convert(spec)

    assert first["datasets"] != spec["datasets"]
    assert filled == alone
    assert len(drawing._compiled) == 1


def test_a_chart_of_another_kind_is_compiled_for_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    """Charts in another unit system have other titles, so they are another kind."""
    monkeypatch.setattr(drawing, "_compiled", {})
    for system in ("metric", "us"):
        spec = svg.spec(TABLE, "invor-beta", "assist.launch", system)  # type: ignore[arg-type] # as above
        assert spec is not None
        assert ("mph" if system == "us" else "km/h") in drawing.convert(spec)

    assert len(drawing._compiled) == 2


@pytest.mark.parametrize("name", svg.NAMES)
def test_making_a_chart_changes_no_other(name: str) -> None:
    """The specification that Altair made is shared; filling it leaves it, and every earlier chart, as they were."""
    spec = made(name)
    before = json.dumps(spec, sort_keys=True)
    if name != "price.range":
        other(name)

    assert json.dumps(spec, sort_keys=True) == before
    assert json.dumps(made(name), sort_keys=True) == before


def test_another_process_draws_the_same_bytes() -> None:
    """In the opposite order, with another hash seed."""
    names = list(svg.NAMES)
    here = {name: hashlib.sha256(svg.convert(made(name)).encode()).hexdigest() for name in names}
    code = (
        "import hashlib, json\n"
        "from generator.charts import svg\n"
        "from tests.charts.test_charts import made\n"
        "print(json.dumps({name: hashlib.sha256(svg.convert(made(name)).encode()).hexdigest()"
        " for name in reversed(svg.NAMES)}))"
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
