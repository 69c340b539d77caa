"""The form for a spec file: its page, its fields, and each bike as data."""

import gzip
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from selectolax.lexbor import LexborHTMLParser

from generator.content.records import read_settings
from generator.figures.table.figures_table import FiguresTable
from generator.pages.contribute import page as contribute_page
from generator.pages.contribute.form_data import FIRST, build_fields, find_written_values
from generator.pages.frame import assets, urls
from generator.pages.frame.renderer import Renderer
from generator.specs.yaml.files import read_mapping
from tests.figures import demo
from tests.pages import site_example as example
from tests.project import ROOT

BUNDLE_LIMIT = 8_192
"""Largest size of the script bundle, compressed. [bytes]  House rule."""
DATA_LIMIT = 10_000
"""Largest size of the form's data, compressed. [bytes]  House rule."""
SCHEMA = json.loads((ROOT / "bikes/bike.schema.json").read_text("utf-8"))
NEW_FILE = "https://git.example/you/guide/new/main?filename={path}&value={text}"


def renderer(**settings: Any) -> Renderer:
    content = demo.content()
    content = replace(content, settings=replace(content.settings, **settings))
    table = FiguresTable(demo.bikes(), {}, {}, {}, example.ExampleDetails({}))
    return Renderer(table, content, ROOT)


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    made = renderer()
    of_bikes = (
        each for bike in made.table.bikes for each in contribute_page.make_bike_data(made, bike)
    )
    return {output.path: output.data for output in (*contribute_page.outputs(made), *of_bikes)}


def value(data: bytes) -> Any:
    """The value of a data file."""
    text = data.decode().split(",", 1)[1].removesuffix(");\n")
    return json.loads(text)


def tree(data: bytes) -> LexborHTMLParser:
    return LexborHTMLParser(data.decode())


def paths(field: dict[str, Any], path: str = "") -> dict[str, dict[str, Any]]:
    """The fields by dotted path."""
    found = {path: field}
    if isinstance(field.get("of"), list):
        for below in field["of"]:
            found |= paths(below, f"{path}.{below['key']}".lstrip("."))
    elif "of" in field:
        found |= paths(field["of"], f"{path}[]")
    return found


def test_every_key_of_the_schema_has_a_field() -> None:
    def keys(schema: dict[str, Any], path: str = "") -> set[str]:
        found = {path}
        for key, below in schema.get("properties", {}).items():
            found |= keys(below, f"{path}.{key}".lstrip("."))
        free = schema.get("additionalProperties")
        for below in (schema.get("items"), free if isinstance(free, dict) else None):
            if below:
                found |= keys(below, f"{path}[]")
        return found

    found = paths(build_fields(SCHEMA))

    assert set(found) == keys(SCHEMA)
    assert set(found) >= FIRST
    assert all(field["title"] and field["hint"] for field in found.values())
    assert [each["key"] for each in build_fields(SCHEMA)["of"]] == list(SCHEMA["properties"])


def test_a_field_is_asked_for_by_its_kind() -> None:
    found = paths(build_fields(SCHEMA))
    kinds = {path: field["kind"] for path, field in found.items()}

    assert kinds["year"] == "integer"
    assert kinds["motor.place"] == "enum"
    assert kinds["battery.removable"] == "boolean"
    assert kinds["price.date"] == "date"
    assert kinds["summary"] == "long"
    assert kinds["assist.levels"] == "rows"
    assert kinds["drivetrain.cogs"] == "list"
    assert kinds["cargo"] == kinds["sources"] == kinds["revisions[].was"] == "map"
    assert kinds["corrections[].was"] == "any"
    assert found["assist.levels[].ratio"]["bare"]
    assert found["mass"]["quantity"] == {"dimension": "mass", "min": "5 kg", "max": "150 kg"}
    assert "bare" not in found["mass"]


def test_units_are_those_of_the_reader(files: dict[str, bytes]) -> None:
    """1 lb = 0.45359237 kg and 1 mi = 1609.344 m: international agreement of 1959."""
    dimensions = value(files[urls.FORM_DATA])["dimensions"]

    assert dimensions["mass"]["units"]["lb"] == [0.45359237, 1.0, 0.0]
    assert dimensions["speed"]["units"]["mph"] == [1609.344, 3600, 0.0]
    assert dimensions["torque"]["usual"] == ["N·m", "lb·ft"]


def test_a_bike_is_data_in_its_own_words(files: dict[str, bytes]) -> None:
    bike = value(files["bikes/tuspen-hebb-lt/spec.js"])

    assert len([path for path in files if path.endswith("/spec.js")]) == len(demo.bikes())
    assert (bike["mass"], bike["year"], bike["brakes"]["cut_motor"]) == ("66 lb", "2026", True)
    assert bike["assist"]["levels"][0] == {"name": "1", "power": "20 %", "ratio": "0.6"}
    assert bike["price"]["date"] == "2026-10-09"
    assert [key for key, _ in bike["sources"]] == ["sheet", "shop"]


def test_order_and_numbers_stay_as_written(tmp_path: Path) -> None:
    """Objects in a browser move keys such as `1` to the front, and `1.0` would become `1`."""
    path = tmp_path / "a.yaml"
    path.write_text(
        "sources: {b: {title: B}, '1': {title: A}}\nnovel: [1.0, 2026-10-04, ~, true]\n"
    )
    marked, _ = read_mapping(path, tmp_path)
    assert marked

    written = find_written_values(marked, SCHEMA)

    assert written["sources"] == [["b", {"title": "B"}], ["1", {"title": "A"}]]
    assert written["novel"] == ["1.0", "2026-10-04", None, True]


def test_the_page_is_whole_without_scripts(files: dict[str, bytes]) -> None:
    page = tree(files[urls.CONTRIBUTE])
    form, main = page.css_first("form"), page.css_first("main")

    assert form
    assert main
    assert "hidden" in form.attributes
    assert "Nothing is sent anywhere" in form.text()
    assert page.css_first("noscript")
    assert page.css_first("main a[href='../data/bike.schema.json']")
    assert "sketch" in main.text()
    assert page.css_first("footer a[href='index.html']")


def test_the_repository_opens_only_where_the_settings_say_how(files: dict[str, bytes]) -> None:
    assert not tree(files[urls.CONTRIBUTE]).css_first("#open")
    there = {each.path: each.data for each in contribute_page.outputs(renderer(new_file=NEW_FILE))}
    page = tree(there[urls.CONTRIBUTE])
    form = page.css_first("form")

    assert page.css_first("#open")
    assert form
    assert form.attributes["data-new-file"] == NEW_FILE


@pytest.mark.parametrize(
    ("line", "sound"),
    [
        ("", True),
        (f'new_file: "{NEW_FILE}"', True),
        ("new_file: null", True),
        ('new_file: "https://git.example/new"', False),
        ('new_file: "javascript:{path}"', False),
    ],
)
def test_the_setting_is_checked(tmp_path: Path, line: str, sound: bool) -> None:
    (tmp_path / "content").mkdir()
    site = (ROOT / "content/site.yaml").read_text("utf-8")
    (tmp_path / "content/site.yaml").write_text(f"{site}\n{line}\n", "utf-8")

    settings, problems = read_settings(tmp_path)

    assert bool(settings) is sound
    assert (not problems) is sound
    if settings:
        assert settings.new_file == (NEW_FILE if "git" in line else None)


def test_what_is_loaded_is_small(files: dict[str, bytes]) -> None:
    built = {out.path: out.data for out in assets.outputs(ROOT)}

    for bundle in ("form", "contribute"):
        assert len(gzip.compress(built[urls.script(bundle)])) <= BUNDLE_LIMIT
    assert len(gzip.compress(files[urls.FORM_DATA])) <= DATA_LIMIT
