"""Compiled code that is kept on disk only saves time: damaged, stale or impossible to keep, the result is the same."""

import importlib.util
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from generator.compute.compiled import compiled

PLANET = """
from generator.compute.compiled import inner

GRAVITY = 9.0
DEPTH = 1.0

@inner
def pull():
    return GRAVITY * DEPTH
"""
MODULE = """
from planet_of_a_test import DEPTH, pull

def weight(mass):
    return mass * pull() / DEPTH
"""


@pytest.fixture
def weight(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[], Any]:
    """Gives the function anew, as a new process would have it."""
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    (tmp_path / "planet_of_a_test.py").write_text(PLANET)
    path = tmp_path / "module_of_a_test.py"
    path.write_text(MODULE)

    def anew() -> Any:
        monkeypatch.delitem(sys.modules, "planet_of_a_test", raising=False)
        importlib.invalidate_caches()
        spec = importlib.util.spec_from_file_location("module_of_a_test", path)
        assert spec
        assert spec.loader
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        return compiled(module.weight)

    return anew


def hits(function: Any) -> int:
    return sum(function.stats.cache_hits.values())


def test_a_second_process_finds_it(weight: Callable[[], Any]) -> None:
    first, second = weight(), weight()

    assert (first(2.0), hits(first)) == (18.0, 0)
    assert (second(2.0), hits(second)) == (18.0, 1)


@pytest.mark.parametrize("ending", ["nbi", "nbc"])
@pytest.mark.parametrize(
    "data", [b"", b"\x80\x05", b"garbage" * 300], ids=["empty", "cut", "other"]
)
def test_what_is_damaged_is_made_anew(
    weight: Callable[[], Any], tmp_path: Path, ending: str, data: bytes
) -> None:
    """Power can fail while a file is written; afterwards the file is good again."""
    weight()(2.0)
    files = list((tmp_path / "__pycache__").glob(f"*.{ending}"))
    for path in files:
        path.write_bytes(data)
    after, later = weight(), weight()

    assert len(files) == 1
    assert (after(2.0), hits(after)) == (18.0, 0)
    assert (later(2.0), hits(later)) == (18.0, 1)


def test_no_place_to_keep_it(weight: Callable[[], Any], tmp_path: Path) -> None:
    """A file stands where the folder should be, which stops root as well."""
    function = weight()
    folder = tmp_path / "__pycache__"
    for path in folder.iterdir():
        path.unlink()
    folder.rmdir()
    folder.write_text("in the way")

    assert function(2.0) == 18.0


@pytest.mark.parametrize(
    ("was", "now"),
    [("GRAVITY = 9.0", "GRAVITY = 3.7"), ("GRAVITY * DEPTH", "3.7 * DEPTH")],
    ids=["constant", "code"],
)
def test_what_another_file_says_counts(
    weight: Callable[[], Any], tmp_path: Path, was: str, now: str
) -> None:
    """Numba keeps constants and called functions in the compiled code, and looks at the time of the function's own file
    alone: see "Cache Limitations" in its documentation."""
    weight()(2.0)
    assert was in PLANET
    (tmp_path / "planet_of_a_test.py").write_text(PLANET.replace(was, now))

    assert weight()(2.0) == 7.4


def test_a_constant_of_the_function_itself_counts(
    weight: Callable[[], Any], tmp_path: Path
) -> None:
    weight()(2.0)
    (tmp_path / "planet_of_a_test.py").write_text(
        PLANET.replace("DEPTH = 1.0", "DEPTH = 0.5").replace("* DEPTH", "* 1.0")
    )

    assert weight()(2.0) == 36.0
