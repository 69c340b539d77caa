"""Records of releases: they are read as they were written, and no file can do harm."""

import json
import os
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft7Validator

from generator.content import releases
from generator.content.read import read_content
from generator.content.releases import Release, format_release, parse_release
from tests.content.publication import write_content
from tests.project import ROOT

DAY = date(2026, 11, 24)
NAME = "2026-11-24"
FILE = f"content/releases/{NAME}.json"
SOUND = Release(
    DAY,
    {
        "maker-one": {"range.rolling": (44_000.0, 36_000.5, 52_000.0), "spec.mass": (26.1,) * 3},
        "maker-two": {"spec.price": (1999.0,) * 3},
    },
    {"maker-one": {"name": "Maker Öne", "use": "city, touring"}, "maker-two": {"name": "Two"}},
    {"light": ("maker-one",), "none": ()},
    {"maker-two": {"spec.price": "USD"}},
)
SCHEMA = json.loads((ROOT / "content/release.schema.json").read_text("utf-8"))


def spoiled(**changes: Any) -> str:
    return json.dumps(json.loads(format_release(SOUND)) | changes)


def with_value(value: str) -> str:
    """A record of one bike and one figure with this JSON as its value."""
    return (
        f'{{"format":1,"day":"{NAME}","figures":["spec.mass"],"bikes":{{\n'
        f'"maker-one":{{"fields":{{}},"values":[{value}]}}}},"lists":{{}}}}'
    )


def wrong(text: str, name: str = NAME) -> str:
    """What is wrong with a record's text; a sound record fails the test."""
    release, problem = parse_release(text, name, FILE)
    assert release is None
    assert problem is not None
    assert problem.severity == "error"
    return problem.what


def test_what_is_written_is_read_again() -> None:
    assert parse_release(format_release(SOUND), NAME, FILE) == (SOUND, None)


NUMBER = st.floats(-1e12, 1e12, allow_nan=False).map(lambda value: float(f"{value:.6g}"))
SLUG = st.from_regex(r"[a-z0-9]{1,8}(-[a-z0-9]{1,8})?", fullmatch=True)
FIGURES = st.dictionaries(
    st.sampled_from(["range.rolling", "spec.mass", "a.b_c.level_1"]),
    st.lists(NUMBER, min_size=3, max_size=3).map(sorted).map(lambda n: (n[1], n[0], n[2])),
)


@given(
    st.dictionaries(SLUG, FIGURES, max_size=4), st.dictionaries(SLUG, st.lists(SLUG), max_size=3)
)
def test_any_record_comes_back(figures: Any, lists: Any) -> None:
    """Reading a record and writing it again changes no byte."""
    fields = {slug: {"name": slug} for slug in figures}
    record = Release(DAY, figures, fields, {k: tuple(v) for k, v in lists.items()})
    text = format_release(record)
    found, problem = parse_release(text, NAME, FILE)

    assert problem is None
    assert found == record
    assert format_release(found) == text
    Draft7Validator(SCHEMA).validate(json.loads(text))


def test_each_bike_is_a_line() -> None:
    """Two records differ only in the lines of bikes whose figures moved."""
    lines = format_release(SOUND).split("\n")

    assert [line[:13] for line in lines if "fields" in line] == ['"maker-one": ', '"maker-two": ']
    assert [line for line in lines if line.startswith('"light"')] == ['"light": ["maker-one"],']


def test_the_demo_s_records_are_small_and_fit_the_schema() -> None:
    folder = ROOT / "content" / "releases"
    paths = sorted(folder.glob("*.json"))

    assert paths
    for path in paths:
        text = path.read_text("utf-8")
        release, problem = parse_release(text, path.stem, path.name)
        assert problem is None
        assert release is not None
        assert format_release(release) == text
        assert (
            len(text.encode()) / len(release.figures) < 3300
        )  # 100 KB for 30 bikes, 4 MB for 1000
        Draft7Validator(SCHEMA).validate(json.loads(text))


@pytest.mark.parametrize(
    "name", ["latest", "2026-02-30", "20261124", "2026-W48-2", "2026-11-24T00", "٢٠٢٦-11-24", "-"]
)
def test_a_name_that_is_no_day(name: str) -> None:
    assert "is not a day" in wrong(format_release(SOUND), name)


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("", "not JSON"),
        ("[" * 200_000, "that can be read"),
        ('{"a":' * 200_000, "that can be read"),
        (with_value("9" * 6000), "that can be read"),
        (with_value("9" * 400), "that can be read"),
        (with_value("NaN"), "NaN is not a number"),
        (with_value("-Infinity"), "-Infinity is not a number"),
        (with_value("1e999"), "1e999 is not a number"),
        (with_value("true"), "not a number"),
        (with_value('"26.1"'), "not a number"),
        (with_value("[1, 2]"), "not a number"),
        (with_value("[1, 0, 2, 3]"), "not a number"),
        (with_value('[1, 0, 2, "<b>"]'), "not a number"),
        (with_value("[1, 2, 0]"), "no interval has"),
        (with_value("1, 2"), "one value for each of 1 figures"),
        (with_value("{}"), "not a number"),
        ("[]", "not a mapping"),
        (spoiled(format=2), "format 2"),
        (spoiled(format=True), "format True"),
        (spoiled(day="2026-11-25"), "is not that of the file's name"),
        (spoiled(figures="spec.mass"), "not a list"),
        (spoiled(figures=["spec.mass", "spec.mass", "a.b"]), "stands twice"),
        (spoiled(figures=["<script>", "a.b", "a.c"]), "not the id"),
        (spoiled(bikes=[]), "not a mapping"),
        (spoiled(bikes={"../up": {"fields": {}, "values": []}}), "cannot be a bike's name"),
        (spoiled(bikes={"one": {"values": []}}), "lacks, or should not have, fields"),
        (spoiled(bikes={"one": {"fields": {"a": 1}, "values": [None] * 3}}), "not a short text"),
        (spoiled(bikes={"one": {"fields": {"a": "x" * 500}, "values": [1] * 3}}), "short text"),
        (spoiled(lists={"light": "maker-one"}), "does not hold names"),
        (spoiled(lists={"light": ["../up"]}), "does not hold names"),
        (spoiled(lists={"a b": []}), "cannot be a list's name"),
        (spoiled(more=1), "should not have, more"),
        ('{"format":1,"format":1}', "stands twice"),
    ],
)  # fmt: skip
def test_what_no_record_holds(text: str, what: str) -> None:
    assert what in wrong(text)


def test_the_line_of_a_bike_is_told() -> None:
    _, problem = parse_release(with_value("[1, 2, 0]"), NAME, FILE)

    assert problem is not None
    assert (problem.file, problem.line) == (FILE, 2)


def test_all_records_are_read_oldest_first(tmp_path: Path) -> None:
    second = format_release(Release(date(2026, 12, 1), {}))
    root = write_content(tmp_path)
    folder = root / "content" / "releases"
    folder.mkdir()
    (folder / "2026-12-01.json").write_text(second, "utf-8")
    (folder / f"{NAME}.json").write_text(format_release(SOUND), "utf-8")
    content, problems = read_content(root)

    assert problems == []
    assert content is not None
    assert [release.day for release in content.releases] == [DAY, date(2026, 12, 1)]
    assert content.releases[1].digest == sha256(second.encode()).hexdigest()


def test_a_bad_record_stops_the_build_with_its_file(tmp_path: Path) -> None:
    root = write_content(tmp_path)
    folder = root / "content" / "releases"
    folder.mkdir()
    (folder / "yesterday.json").write_text(format_release(SOUND), "utf-8")
    content, problems = read_content(root)

    assert content is None
    assert [problem.file for problem in problems] == ["content/releases/yesterday.json"]


def test_links_out_and_huge_files_are_refused(tmp_path: Path, monkeypatch: Any) -> None:
    root = write_content(tmp_path / "root")
    folder = root / "content" / "releases"
    folder.mkdir()
    (tmp_path / "out.json").write_text(format_release(SOUND), "utf-8")
    os.symlink(tmp_path / "out.json", folder / f"{NAME}.json")
    _, problems = read_content(root)

    assert "outside the folder content/" in problems[0].what

    (folder / f"{NAME}.json").unlink()
    (folder / f"{NAME}.json").write_text(format_release(SOUND), "utf-8")
    monkeypatch.setattr(releases, "LARGEST", 100)
    _, problems = read_content(root)

    assert "larger than" in problems[0].what
