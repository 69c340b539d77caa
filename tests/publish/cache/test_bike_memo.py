"""What is said of each bike is kept from one build to the next, and used for the same bike alone."""

from dataclasses import replace
from pathlib import Path

import pytest

from generator.publish.cache.bike_memo import Pieces
from generator.publish.cache.inputs import Inputs
from generator.publish.cache.store import Store

KEY = b"k" * 32
INPUTS = Inputs("program", "templates", "content", {"/bike.schema.json": "schema"})


class Told:
    """Says a slug in capitals, and counts."""

    def __init__(self) -> None:
        self.slugs: list[str] = []

    def __call__(self, slug: str) -> str:
        self.slugs.append(slug)
        return slug.upper()


def said(folder: Path, told: Told, reads: dict[str, str], inputs: Inputs | None = INPUTS) -> dict:
    return Pieces(Store(folder, KEY), inputs)("loudly", reads, told)


def test_only_what_reads_otherwise_is_said_anew(tmp_path: Path) -> None:
    told = Told()
    said(tmp_path, told, {"a": "1", "b": "1", "c": "1"})
    found = said(tmp_path, told, {"c": "1", "b": "2", "d": "1"})

    assert told.slugs == ["a", "b", "c", "b", "d"]
    assert list(found.items()) == [("c", "C"), ("b", "B"), ("d", "D")]


def test_what_left_is_forgotten(tmp_path: Path) -> None:
    told = Told()
    for reads in ({"a": "1", "b": "1"}, {"a": "1"}, {"a": "1", "b": "1"}):
        said(tmp_path, told, reads)

    assert told.slugs == ["a", "b", "b"]


def test_what_does_not_tell_what_it_reads_is_said_each_time(tmp_path: Path) -> None:
    told = Told()
    for _ in range(2):
        said(tmp_path, told, {"a": "", "b": "1"})

    assert told.slugs == ["a", "b", "a"]


@pytest.mark.parametrize(
    "other",
    [
        None,
        replace(INPUTS, program="another program"),
        replace(INPUTS, templates="other templates"),
        replace(INPUTS, bikes={"/bike.schema.json": "another schema"}),
    ],
)
def test_another_program_template_or_schema_knows_nothing(
    tmp_path: Path, other: Inputs | None
) -> None:
    told = Told()
    said(tmp_path, told, {"a": "1"})
    said(tmp_path, told, {"a": "1"}, other)

    assert told.slugs == ["a", "a"]


def test_content_is_told_by_who_reads_it(tmp_path: Path) -> None:
    told = Told()
    said(tmp_path, told, {"a": "1"})
    said(tmp_path, told, {"a": "1"}, replace(INPUTS, content="other content"))

    assert told.slugs == ["a"]


def test_names_are_apart(tmp_path: Path) -> None:
    pieces = Pieces(Store(tmp_path, KEY), INPUTS)

    assert pieces("one", {"a": "1"}, str.upper) == {"a": "A"}
    assert pieces("two", {"a": "1"}, str.lower) == {"a": "a"}
