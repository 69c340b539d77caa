"""The quick look says yes only where the full validator finds nothing."""

import copy
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.specs.schema import validate as module
from generator.specs.schema.fits import fits
from generator.specs.yaml.files import read_mapping
from tests.project import ROOT

SCHEMA = json.loads((ROOT / "bikes" / "bike.schema.json").read_text("utf-8"))
SHEETS = sorted((ROOT / "bikes").glob("*.yaml"))
ODD = st.one_of(
    st.none(), st.booleans(), st.integers(-5, 5000), st.floats(allow_nan=False), st.text(max_size=9),
    st.dates(), st.just([]), st.just({}), st.just([1, True]), st.just(["a", "a"]),
    st.sampled_from(["24 kg", "24 kW", "on sale", "2026-02-30", "2026-02-03", "47-622", "30 %"]),
)  # fmt: skip


def value_of(path: Path) -> dict[str, Any]:
    marked, _ = read_mapping(path, ROOT)
    assert marked is not None
    return marked.value


FENNO = value_of(ROOT / "bikes" / "pellimor-fenno.yaml")


def paths(value: Any, begin: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every path below a value."""
    pairs = (
        value.items()
        if isinstance(value, dict)
        else enumerate(value)
        if isinstance(value, list)
        else ()
    )
    found = []
    for key, below in pairs:
        found += [(*begin, key), *paths(below, (*begin, key))]
    return found


def sound(value: Any) -> bool:
    """What the library says, with our keywords."""
    return not list(module._validator()(SCHEMA).iter_errors(value))


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_sound_files_are_told_at_once(path: Path) -> None:
    """Otherwise the library is loaded for nothing."""
    assert fits(value_of(path), SCHEMA)


@given(at=st.sampled_from(paths(FENNO)), odd=ODD, drop=st.booleans())
def test_never_yes_where_the_validator_says_no(at: tuple[Any, ...], odd: Any, drop: bool) -> None:
    """One value of the layout example is replaced or taken away."""
    changed = copy.deepcopy(FENNO)
    parent: Any = changed
    for key in at[:-1]:
        parent = parent[key]
    if drop:
        del parent[at[-1]]
    else:
        parent[at[-1]] = odd
    if fits(changed, SCHEMA):
        assert sound(changed)


def test_unknown_keywords_are_left_to_the_validator() -> None:
    assert not fits({}, {"anyOf": [{}]})
    assert fits({}, {"x-ours": 1, "title": "t"})
    assert not fits([1], {"items": [{"type": "string"}]})
