"""Reading any file ends in a bike or in problems, never in an exception."""

import time
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from generator.specs.read import read_bike
from generator.specs.yaml import events
from generator.specs.yaml.files import parse_mapping
from tests.project import ROOT

FENNO = (ROOT / "bikes" / "pellimor-fenno.yaml").read_bytes()
LINES = FENNO.decode().splitlines()
SCRAPS = [
    *("", "~", "[]", "{}", "- x", "true", "-1", "1e400", ".nan", "'", '"', "*a", "&a x", "!t x"),
    *("2026-13-01", "0 kg", "-5 km", "{a: 1}", "[1, [2]]", "x: y", "\t", "«»", "9" * 50),
]
SLOWER = settings(
    max_examples=150,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    (tmp_path / "bikes").mkdir()
    return tmp_path / "bikes" / "pellimor-fenno.yaml"


def holds(path: Path, raw: bytes) -> None:
    """Read `raw`: it must give a bike or an error, and each problem must be complete."""
    path.write_bytes(raw)
    bike, problems = read_bike(path, path.parents[1])
    errors = [problem for problem in problems if problem.severity == "error"]
    assert (bike is None) == bool(errors)
    lines = raw.count(b"\n") + raw.count(b"\r") + 3
    for problem in problems:
        assert problem.what
        assert problem.mend
        assert "\n" not in str(problem)
        assert problem.line <= lines


@SLOWER
@given(
    st.lists(
        st.tuples(st.integers(0, len(FENNO) - 1), st.binary(max_size=3), st.integers(0, 4)),
        min_size=1,
        max_size=6,
    )
)
def test_mutated_bytes(path: Path, edits: list[tuple[int, bytes, int]]) -> None:
    """Bytes are inserted, removed and changed anywhere."""
    raw = FENNO
    for at, put, take in edits:
        raw = raw[:at] + put + raw[at + take :]
    holds(path, raw)


@SLOWER
@given(
    st.lists(
        st.tuples(st.integers(0, len(LINES) - 1), st.sampled_from(SCRAPS)), min_size=1, max_size=5
    )
)
def test_mutated_values(path: Path, edits: list[tuple[int, str]]) -> None:
    """Values are replaced by others of every kind."""
    lines = list(LINES)
    for at, scrap in edits:
        lines[at] = lines[at].partition(":")[0] + ": " + scrap
    holds(path, "\n".join(lines).encode())


@SLOWER
@given(st.permutations(range(len(LINES))).map(lambda order: order[: len(LINES) // 2]))
def test_shuffled_lines(path: Path, order: list[int]) -> None:
    """Lines are shuffled and half of them removed."""
    holds(path, "\n".join(LINES[at] for at in order).encode())


@SLOWER
@given(st.binary(max_size=300))
def test_any_bytes(path: Path, raw: bytes) -> None:
    """Files hold any bytes."""
    holds(path, raw)


@SLOWER
@given(st.text(st.sampled_from("ab:-[]{},&*!|>'\"%@`# \n\t?012."), max_size=80))
def test_any_signs(text: str) -> None:
    """Texts are YAML's own characters in any order."""
    mapping, problems = parse_mapping(text, "a.yaml")
    assert mapping is not None or problems


@pytest.mark.parametrize(
    "more",
    [
        "".join(f"\nk{n}: 1" for n in range(15_000)),
        "\nnote: " + "[" * 200_000,
        '\n"' + "mass." * 200 + '": x',
        "\n? " + "mass." * 40_000 + "\n: x",
        "\nsizes: [" + "kg, " * 15_000 + "]",
        "\nrides:" + "\n  - {level: x}" * 10_000,
    ],
    ids=["keys", "brackets", "dots", "long key", "list", "records"],
)
def test_large_nonsense_is_quick(path: Path, more: str) -> None:
    """Large nonsense does not keep the machine busy."""
    began = time.perf_counter()
    holds(path, FENNO + more.encode())
    assert time.perf_counter() - began < 5


def test_without_the_fast_parser(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """PyYAML's Python parser gives the same as its C parser."""
    path.write_bytes(FENNO)
    fast = read_bike(path, path.parents[1])
    monkeypatch.setattr(events, "LOADER", yaml.SafeLoader)
    assert read_bike(path, path.parents[1]) == fast
    holds(path, FENNO.replace(b"mid ", b"[mid "))
