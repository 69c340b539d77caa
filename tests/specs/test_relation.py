"""The reviewers' relation to a maker: stated for every ridden bike, and never guessed."""

from pathlib import Path

import pytest

from tests.specs.sheets import change_spec, read_one_problem, read_spec


@pytest.mark.parametrize("state", ["ridden", "borrowed"])
def test_a_ridden_bike_says_on_what_terms(tmp_path: Path, state: str) -> None:
    more = f"\nridden: {{state: {state}}}\n"
    found = read_one_problem(tmp_path, more=more)
    assert found.severity == "error"
    assert f"this bike was {state}, and nothing says on what terms" in found.what
    assert "gifted, loaned or paid" in found.mend


@pytest.mark.parametrize("relation", ["none", "gifted", "loaned", "paid"])
def test_the_terms_are_kept(tmp_path: Path, relation: str) -> None:
    text = change_spec(more=f"\nridden: {{state: borrowed, relation: {relation}}}\n")
    bike, problems = read_spec(tmp_path, text)
    assert not problems
    assert bike
    assert bike.ridden.relation == relation


def test_other_words_are_refused_and_a_sheet_needs_none(tmp_path: Path) -> None:
    found = read_one_problem(tmp_path, more="\nridden: {state: ridden, relation: sponsored}\n")
    assert "'sponsored' is not one of the words known here" in found.what
    bike, problems = read_spec(tmp_path, change_spec(more="\nridden: {state: sheet only}\n"))
    assert not problems
    assert bike
    assert bike.ridden.relation is None
