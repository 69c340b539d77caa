"""The schemas of the content folder explain every key in an editor."""

import json
from typing import Any

import pytest
from jsonschema import Draft7Validator

from tests.project import ROOT

CONTENT = ROOT / "content"
SCHEMAS = {path.name: json.loads(path.read_text("utf-8")) for path in CONTENT.glob("*.schema.json")}


def parts(schema: dict[str, Any]) -> list[dict[str, Any]]:
    """Every schema inside a schema."""
    below = [*schema.get("properties", {}).values(), schema.get("items")]
    found = [each for each in below if isinstance(each, dict)]
    return [schema, *(part for each in found for part in parts(each))]


@pytest.mark.parametrize("name", SCHEMAS)
def test_every_key_explains_itself(name: str) -> None:
    """Every key has a title, a description and fitting examples; each choice is explained."""
    Draft7Validator.check_schema(SCHEMAS[name])
    for part in parts(SCHEMAS[name]):
        assert part["title"]
        assert part["description"].endswith((".", "?"))
        for example in part["examples"]:
            Draft7Validator(part).validate(example)
        assert part["examples"]
        for word in part.get("enum", ()):
            assert f"{word}: " in part["description"]
