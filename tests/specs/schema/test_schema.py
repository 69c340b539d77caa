"""The schema of spec files, and the advice on its errors."""

import difflib
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft7Validator

from generator.figures.inputs.assumptions import ASSUMPTIONS
from generator.specs.build_records import TEST_DIMENSIONS
from generator.specs.quantity import parse_quantity
from generator.specs.schema.validate import validate_mapping
from generator.specs.yaml.files import parse_mapping, read_mapping
from tests.project import ROOT
from tests.specs.sheets import SOUND, read_one_problem, read_spec

SCHEMA = json.loads((ROOT / "bikes" / "bike.schema.json").read_text("utf-8"))


def parts(schema: dict[str, Any], path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every schema inside a schema, with its dotted path."""
    yield path, schema
    for key, below in schema.get("properties", {}).items():
        yield from parts(below, f"{path}.{key}".strip("."))
    for key in ("items", "additionalProperties"):
        if isinstance(schema.get(key), dict):
            yield from parts(schema[key], f"{path}.*".strip("."))


PARTS = dict(parts(SCHEMA))
RULES = {
    path: rule
    for path, part in PARTS.items()
    for rule in [part.get("x-quantity"), *part.get("x-quantity", {}).get("kinds", {}).values()]
    if rule and "dimension" in rule
}


def test_plain_draft_7() -> None:
    """The schema is sound draft 7 and does without keywords that editors explain badly."""
    Draft7Validator.check_schema(SCHEMA)
    for part in PARTS.values():
        assert not {"oneOf", "anyOf", "allOf", "not", "if", "$ref"} & set(part)


@pytest.mark.parametrize("path", PARTS)
def test_every_key_explains_itself(path: str) -> None:
    """Title, description and examples stand on every key; the examples fit."""
    part = PARTS[path]
    assert part["title"]
    assert part["description"].endswith((".", "?"))
    assert part["examples"]
    if path:
        for example in part["examples"]:
            Draft7Validator(part).validate(example)
    assert ("null" in part.get("type", "")) is part.get("x-later", False)
    if "properties" in part:
        assert part["additionalProperties"] is False
    if "enum" in part:
        assert part.get("default", part["enum"][0]) in part["enum"]
        for word in part["enum"]:
            assert f"{word}: " in f"{part['description']} "
    if "default" in part:
        assert f"When left out, {part['default']} is assumed." in part["description"]


@pytest.mark.parametrize("path", RULES)
def test_examples_in_both_systems(path: str) -> None:
    """Where feet and pounds are in use, an example shows each system; a sketch picks from them."""
    dimension = RULES[path]["dimension"]
    units = (
        {parse_quantity(str(each), dimension).unit.symbol for each in PARTS[path]["examples"]}
        if ("by" not in PARTS[path]["x-quantity"])
        else set()
    )
    if units and dimension in ("mass", "length", "speed", "pressure", "torque", "temperature"):
        assert units & {"kg", "mm", "km", "km/h", "m/s", "bar", "N·m", "°C"}, path
        assert units & {"lb", "in", "mi", "mph", "psi", "lb·ft", "°F"}, path


def test_assumptions_are_those_that_figures_use() -> None:
    """What a description says is assumed is what the figures assume. Units by hand: 1 N·m, 1 kg,
    60 rpm in a hertz."""
    said = {
        "mass": ("bike.mass_city", 1, "{} kg"),
        "wheelbase": ("bike.wheelbase", 1000, "{} mm"),
        "motor.torque": ("motor.torque_mid", 1, "{} N·m is assumed for a mid motor"),
        "motor.cadence_limit": ("motor.cadence_limit", 60, "{} rpm"),
        "assist.pulses": ("assist.pulses_cadence", 1, "{} are assumed for a cadence"),
        "assist.start_pulses": ("assist.start_cadence", 1, "{} are assumed for a cadence"),
        "assist.ramp": ("assist.ramp_cadence", 1, "{} s is assumed for a cadence"),
        "assist.delay": ("assist.delay_cadence", 1, "{} s is assumed for a cadence"),
    }
    for path, (id, factor, words) in said.items():
        number = f"{ASSUMPTIONS[id].value * factor:g}"
        assert f"When left out, {words.format(number)}" in PARTS[path]["description"]
    for path, id, words in (
        ("mass", "bike.mass_folding", "{} kg for a folder"),
        ("mass", "bike.mass_cargo", "{} kg for a cargo bike"),
        ("motor.torque", "motor.torque_hub", "{} N·m for a hub motor"),
        ("assist.pulses", "assist.pulses_torque", "{} for a torque sensor"),
        ("assist.start_pulses", "assist.start_torque", "{} for a torque sensor"),
        ("assist.ramp", "assist.ramp_torque", "{} s for a torque sensor"),
        ("assist.delay", "assist.delay_torque", "{} s for a torque sensor"),
    ):
        assert words.format(f"{ASSUMPTIONS[id].value:g}") in PARTS[path]["description"]


@pytest.mark.parametrize("later", [path for path, part in PARTS.items() if part.get("x-later")])
def test_a_group_may_stay_empty_for_a_while(tmp_path: Path, later: str) -> None:
    """An empty group is a warning that says what to fill in; the file is read."""
    top, _, below = later.partition(".")
    lines = [f"{top}:" + ("" if not below else f"\n  {below}:")]
    text = SOUND
    for key in ("battery", "assist", "wheels"):
        if key == top:
            text = re.sub(rf"^{key}:\n(?: .*\n)+", "", text, flags=re.MULTILINE)
    bike, problems = read_spec(tmp_path, text + lines[0] + "\n")
    assert bike is not None, list(map(str, problems))
    assert [each for each in problems if f"{later}: nothing is stated here yet" in each.what]
    assert {each.severity for each in problems} == {"warning"}


@pytest.mark.parametrize("path", RULES)
def test_spans(path: str) -> None:
    """Each plausible span runs upwards in the dimension it names."""
    rule = RULES[path]
    low, high = (parse_quantity(rule[end], rule["dimension"]) for end in ("min", "max"))
    assert low.value < high.value


def test_tests_have_the_same_dimensions_everywhere() -> None:
    """The schema and the reader agree on what is measured in what."""
    kinds = PARTS["tests.*.value"]["x-quantity"]["kinds"]
    assert {name: rule["dimension"] for name, rule in kinds.items()} == TEST_DIMENSIONS
    assert list(kinds) == PARTS["tests.*.what"]["enum"]


def test_the_layout_example_shows_every_key() -> None:
    """The layout file shows the keys that most bikes have, and an ordinary validator takes it."""
    mapping, problems = read_mapping(ROOT / "bikes" / "pellimor-fenno.yaml", ROOT)
    assert problems == []
    assert mapping is not None
    Draft7Validator(SCHEMA).validate(json.loads(json.dumps(mapping.value, default=str)))
    assert set(SCHEMA["properties"]) - set(mapping.value) == {"note"}
    assert set(PARTS["motor"]["properties"]) - set(mapping.value["motor"]) == {
        "thirty_minute_power"
    }


@pytest.mark.parametrize(
    ("change", "what", "mend"),
    [
        (("mass: 24.5 kg\n", "weight: 24.5 kg\n"), "no key 'weight'", "Did you mean 'mass'?"),
        (("frame: diamond", "frame: diamond\ntorque: 40 N·m"), "'torque'", "belongs in motor"),
        (("frame: diamond", "frame: diamond\nfoo: 3"), "no key 'foo'", "use one of: name, maker"),
        (("status: on sale", "status: on_sale"), "'on_sale' is not one of", "'on sale'"),
        (("year: 2026", 'year: "2026"'), "is text", "without quotes"),
        (("year: 2026", "year: 26"), "too small", "from 1990 to 2100"),
        (("name: Grelm", "name: 500"), "read as a number", 'in quotes: "500"'),
        (("name: Grelm", "name: 2026-10-04"), "read as a date", 'in quotes: "2026-10-04"'),
        (("name: Grelm", 'name: ""'), "the text is empty", "such as Fenno"),
        (("name: Grelm", "name: " + "x" * 61), "61 characters", "60 at most"),
        (("maker: Oskelm", "maker:"), "has no value", "such as Pellimor"),
        (("mass: 24.5 kg\n", "mass:\n"), "has no value", "or delete the line"),
        (("mass: 24.5 kg\n", "mass: 24.5\n"), "has no unit", "24.5 kg or 24.5 lb"),
        (("mass: 24.5 kg\n", "mass: [24.5 kg]\n"), "not a number with", "such as 26.1 kg"),
        (("uses: [city]", "uses: city"), "a list", "in brackets: [city]"),
        (("uses: [city]", "uses: []"), "too little", "such as [touring"),
        (("uses: [city]", "uses: [city, city]"), "stands here twice", "once"),
        (("[11, 14, 18, 24, 28]", "11-28"), "a list", "[11, 13, 15"),
        (("size: 47-622", "size: 26 inch"), "'26 inch'", "559, 571, 584 and 590 mm"),
        (("size: 47-622", "size: 26"), "'26'", "559, 571, 584 and 590 mm"),
        (("torque: 40 N·m", "torque: 400 N·m"), "more than 160 N·m", "against the source"),
        (("mass: 24.5 kg\n", "mass: 24.5 kg\nprice: {list: 990 €, date: 2026-10-04}\n"),
         "'990 €'", "such as 3290 EUR"),
        (("mass: 24.5 kg\n", "mass: 24.5 kg\nbrakes: {cut_motor: yes}\n"), "'yes'", "Write true"),
        (("mass: 24.5 kg\n", "mass: 24.5 kg\ncargo: {rear rack: 25 km}\n"), "a length", "25 kg"),
        (("mass: 24.5 kg\n", "mass: 24.5 kg\nridden: {state: ridden, relation: none, date: 4 Oct}\n"),
         "'4 Oct' is not a date", "2026-10-04"),
        (("mass: 24.5 kg\n", "mass: 24.5 kg\nridden: {state: ridden, relation: none, date: 2026-W05-1}\n"),
         "'2026-W05-1' is not a date", "2026-10-04"),
        (("power: 480 W", "power: 480 hp"), "'hp'", "W or kW"),
        (("sensor: cadence", "sensor: cadence\n  throttle: true"),
         "assist.throttle: 'true' alone is not enough, this takes keys with values",
         "Say more, such as {speed: 20 mph, power: 100 %}"),
        (("sensor: cadence", "sensor: cadence\n  throttle: false"),
         "'false' stands where keys", "Delete the line if there is none"),
        (("wheels:\n  size: 47-622", "wheels:\n  size 47-622"),
         "'size 47-622' has no colon", "Write 'size: 47-622'"),
        (("frame: diamond", "frame: diamond\nridden {state: sheet only}"),
         "missing between 'ridden' and its bracket", "Write 'ridden: {state: …'"),
        (("sensor: cadence", "sensor: cadence\n  throttle:\n    speed:20 mph"),
         "a space is missing after the colon: 'speed:20 mph'", "Write 'speed: 20 mph'"),
        (("mass: 24.5 kg\n", "mass: true\n"), "'true' is not a number with a unit", "26.1 kg"),
        (("mass: 24.5 kg\n", "mass: 44 1/2 lb\n"), "a fraction", "Write '44.5 lb'"),
    ],
)  # fmt: skip
def test_advice(tmp_path: Path, change: tuple[str, str], what: str, mend: str) -> None:
    """Each mistake gives one problem, and it alone is enough to mend the mistake."""
    problem = read_one_problem(tmp_path, change)
    assert problem.severity == "error"
    assert problem.line > 1
    assert what in problem.what
    assert mend in problem.mend


def test_value_of_a_test_goes_by_what_was_measured(tmp_path: Path) -> None:
    """A measured mass is a mass, a measured angle an angle."""
    record = "tests:\n  - {{what: {}, value: {}, date: 2026-10-12, method: x, conditions: y}}\n"
    own = "  own: {title: Ours, kind: own test}\n"
    problem = read_one_problem(tmp_path, more=own + record.format("take-up angle", "90 kg"))
    assert "is a mass; angle wants" in problem.what
    problem = read_one_problem(tmp_path, more=own + record.format("mass", "90"))
    assert "has no unit" in problem.what


def test_any_schema_will_do() -> None:
    """Schemas of the content work too; `file` names the file in the problems."""
    schema = {
        "type": "object",
        "additionalProperties": False,
        "required": ["title"],
        "properties": {
            "title": {"type": "string"},
            "load": {"x-quantity": {"dimension": "mass", "max": "50 kg"}},
            "stops": {"type": "array", "items": {"type": "number", "minimum": 0}},
        },
    }
    mapping, _ = parse_mapping("laod: 3\nload: 60 kg\nstops: [1, -1, x]", "a.md", first_line=2)
    assert mapping is not None
    problems = validate_mapping(mapping, schema, "guides/a.md")
    assert [problem.line for problem in problems] == [2, 2, 3, 4, 4]
    assert {problem.file for problem in problems} == {"guides/a.md"}
    assert "'title' is missing" in problems[1].what or "'title' is missing" in problems[0].what


def test_other_names_lead_somewhere() -> None:
    """No alternative name hides a key of the same group, and none is given twice."""
    for part in PARTS.values():
        known = part.get("properties", {})
        also = [name for below in known.values() for name in below.get("x-also", ())]
        assert not set(also) & set(known)
        assert len(also) == len(set(also))
        for name in also:
            assert re.fullmatch("[a-z_]+", name)
            assert difflib.get_close_matches(name, [*known, *also], 1)[0] == name
