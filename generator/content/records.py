"""Settings, riders and sources: the YAML files of the content folder.

* read_checked         reads a YAML file under its schema
* check_mapping        problems of a mapping under a schema
* read_settings        reads `site.yaml`
* read_riders          reads `riders.yaml`
* read_references      reads `sources.yaml`
* find_repeated_ids    problems of ids that are used twice
* check_one_default    problems unless exactly one entry is the default

Each reader returns what it could read, and every problem.
"""

import math
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import Any

from generator.content.files import check_inside_content
from generator.content.model import Reference, Rider, Settings
from generator.specs.problems import Problem
from generator.specs.quantity import parse_quantity
from generator.specs.schema.files import find_schema, has_own_schema, read_generator_schema
from generator.specs.schema.validate import validate_mapping
from generator.specs.yaml.files import read_mapping
from generator.specs.yaml.located import Keys, LocatedMapping

Problems = list[Problem]


def read_checked(path: Path, root: Path, schema: str) -> tuple[LocatedMapping | None, Problems]:
    """A YAML file, or None when anything in it is wrong."""
    refused = check_inside_content(path, root)
    if refused:
        return None, [refused]
    mapping, problems = read_mapping(path, root)
    if mapping is not None:
        problems += check_mapping(mapping, root, schema)
    return (None if problems else mapping), problems


def check_mapping(mapping: LocatedMapping, root: Path, schema: str) -> Problems:
    """Problems of a mapping under the content schema `schema`."""
    name = f"content/{schema}.schema.json"
    rules, problems = find_schema(root, name)
    if rules is None:
        return problems
    # the publication's own may ask for more, never for less than the readers rely on
    return validate_mapping(mapping, rules) or (
        validate_mapping(mapping, read_generator_schema(name)) if has_own_schema(root, name) else []
    )


def read_settings(root: Path) -> tuple[Settings | None, Problems]:
    """The settings of `content/site.yaml`, and every problem."""
    mapping, problems = read_checked(root / "content" / "site.yaml", root, "site")
    if mapping is None:
        return None, problems
    given = dict(mapping.value)
    given["electricity_price"] = float(given["electricity_price"])
    if not math.isfinite(given["electricity_price"]):
        what = "electricity_price: this is not a price"
        return None, [mapping.make_problem(("electricity_price",), what, "Write a number")]
    if "updated" in given:
        given["updated"] = read_date(given["updated"])
    return Settings(**given), problems


def read_riders(root: Path) -> tuple[tuple[Rider, ...], Problems]:
    """The riders of `content/riders.yaml` in the order of the file, and every problem."""
    mapping, problems = read_checked(root / "content" / "riders.yaml", root, "riders")
    if mapping is None:
        return (), problems
    riders = []
    for index, entry in enumerate(mapping.value["riders"]):
        rider = Rider(
            id=entry["id"],
            name=entry["name"],
            mass=parse_quantity(str(entry["mass"]), "mass").value,
            load=parse_quantity(str(entry["load"]), "mass").value,
            power=parse_quantity(str(entry["power"]), "power").value,
            cadence=_parse_rpm(entry["cadence"]),
            upper_cadence=_parse_rpm(entry["upper_cadence"]),
            summary=entry.get("summary", ""),
            default=entry.get("default", False),
        )
        if rider.upper_cadence < rider.cadence:
            what = "upper_cadence is below cadence"
            mend = f"Write at least {rider.cadence:g} rpm"
            problems.append(mapping.make_problem(("riders", index, "upper_cadence"), what, mend))
        riders.append(rider)
    problems += find_repeated_ids(mapping, "riders") + check_one_default(mapping, "riders")
    return tuple(riders), problems


def read_references(root: Path) -> tuple[tuple[Reference, ...], Problems]:
    """The published sources of `content/sources.yaml` in the order of the file, and every problem."""
    mapping, problems = read_checked(root / "content" / "sources.yaml", root, "sources")
    if mapping is None:
        return (), problems
    problems += find_repeated_ids(mapping, "references")
    return tuple(Reference(**entry) for entry in mapping.value["references"]), problems


def find_repeated_ids(mapping: LocatedMapping, key: str) -> Problems:
    """A problem for each id that stands twice in a list."""
    seen: dict[str, int] = {}
    problems = []
    for index, entry in enumerate(mapping.value[key]):
        keys: Keys = (key, index, "id")
        if entry["id"] in seen:
            what = f"the id {entry['id']!r} stands twice, first on line {seen[entry['id']]}"
            problems.append(mapping.make_problem(keys, what, "Give each entry an id of its own"))
        else:
            seen[entry["id"]] = mapping.where(keys)[0]
    return problems


def check_one_default(mapping: LocatedMapping, key: str) -> Problems:
    """A problem unless exactly one entry of a list is the default."""
    chosen = [index for index, entry in enumerate(mapping.value[key]) if entry.get("default")]
    one = key.removesuffix("s")
    if not chosen:
        return [
            mapping.make_problem((key,), f"no {one} is the default", "Give one `default: true`")
        ]
    first = mapping.where((key, chosen[0], "default"))[0]
    what = f"a second {one} is the default; the first stands on line {first}"
    mend = f"Keep `default: true` at one {one}"
    return [mapping.make_problem((key, index, "default"), what, mend) for index in chosen[1:]]


def read_date(value: Any) -> date:
    """A date of a checked file, written as text or as a date."""
    return value if isinstance(value, date) else date.fromisoformat(value)


def tidy_texts(values: Iterable[str]) -> tuple[str, ...]:
    """Each text on one line, without doubled spaces."""
    return tuple(" ".join(value.split()) for value in values)


def _parse_rpm(words: Any) -> float:
    """A cadence in turns a minute, without rounding when it is written in rpm."""
    quantity = parse_quantity(str(words), "cadence")
    return quantity.number if quantity.unit.symbol == "rpm" else quantity.value * 30 / math.pi
