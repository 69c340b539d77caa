"""Settings, riders and sources: the YAML files of the content folder.

* read_checked     a YAML file under its schema
* read_settings    `site.yaml`
* read_riders      `riders.yaml`
* read_references  `sources.yaml`

Each returns what it could make, the file's hash and every problem.
"""

import math
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import Any

from generator.content.files import outside
from generator.content.model import Reference, Rider, Settings
from generator.specs.problems import Problem
from generator.specs.quantity import parse
from generator.specs.schema.files import brought, generators, schema_of
from generator.specs.schema.validate import validate
from generator.specs.yaml.files import read_mapping
from generator.specs.yaml.located import Keys, Marked

Problems = list[Problem]


def read_checked(path: Path, root: Path, schema: str) -> tuple[Marked | None, Problems]:
    """A YAML file, or None when anything in it is wrong."""
    refused = outside(path, root)
    if refused:
        return None, [refused]
    marked, problems = read_mapping(path, root)
    if marked is not None:
        problems += checked(marked, root, schema)
    return (None if problems else marked), problems


def checked(marked: Marked, root: Path, schema: str) -> Problems:
    """What the schema of that name says of a mapping."""
    name = f"content/{schema}.schema.json"
    rules, problems = schema_of(root, name)
    if rules is None:
        return problems
    # the publication's own may ask for more, and never for less than the readers rely on
    return validate(marked, rules) or (
        validate(marked, generators(name)) if brought(root, name) else []
    )


def read_settings(root: Path) -> tuple[Settings | None, Problems]:
    marked, problems = read_checked(root / "content" / "site.yaml", root, "site")
    if marked is None:
        return None, problems
    given = dict(marked.value)
    given["electricity_price"] = float(given["electricity_price"])
    if not math.isfinite(given["electricity_price"]):
        what = "electricity_price: this is not a price"
        return None, [marked.problem(("electricity_price",), what, "Write a number")]
    if "updated" in given:
        given["updated"] = day(given["updated"])
    return Settings(**given), problems


def read_riders(root: Path) -> tuple[tuple[Rider, ...], Problems]:
    marked, problems = read_checked(root / "content" / "riders.yaml", root, "riders")
    if marked is None:
        return (), problems
    riders = []
    for index, entry in enumerate(marked.value["riders"]):
        rider = Rider(
            id=entry["id"],
            name=entry["name"],
            mass=parse(str(entry["mass"]), "mass").value,
            load=parse(str(entry["load"]), "mass").value,
            power=parse(str(entry["power"]), "power").value,
            cadence=_rpm(entry["cadence"]),
            upper_cadence=_rpm(entry["upper_cadence"]),
            summary=entry.get("summary", ""),
            default=entry.get("default", False),
        )
        if rider.upper_cadence < rider.cadence:
            what = "upper_cadence is below cadence"
            mend = f"Write at least {rider.cadence:g} rpm"
            problems.append(marked.problem(("riders", index, "upper_cadence"), what, mend))
        riders.append(rider)
    problems += repeated_ids(marked, "riders") + one_default(marked, "riders")
    return tuple(riders), problems


def read_references(root: Path) -> tuple[tuple[Reference, ...], Problems]:
    marked, problems = read_checked(root / "content" / "sources.yaml", root, "sources")
    if marked is None:
        return (), problems
    problems += repeated_ids(marked, "references")
    return tuple(Reference(**entry) for entry in marked.value["references"]), problems


def repeated_ids(marked: Marked, key: str) -> Problems:
    """A problem for each id that stands twice in a list."""
    seen: dict[str, int] = {}
    problems = []
    for index, entry in enumerate(marked.value[key]):
        keys: Keys = (key, index, "id")
        if entry["id"] in seen:
            what = f"the id {entry['id']!r} stands twice, first on line {seen[entry['id']]}"
            problems.append(marked.problem(keys, what, "Give each entry an id of its own"))
        else:
            seen[entry["id"]] = marked.where(keys)[0]
    return problems


def one_default(marked: Marked, key: str) -> Problems:
    """A problem unless exactly one entry of a list is the default."""
    chosen = [index for index, entry in enumerate(marked.value[key]) if entry.get("default")]
    one = key.removesuffix("s")
    if not chosen:
        return [marked.problem((key,), f"no {one} is the default", "Give one `default: true`")]
    first = marked.where((key, chosen[0], "default"))[0]
    what = f"a second {one} is the default; the first stands on line {first}"
    mend = f"Keep `default: true` at one {one}"
    return [marked.problem((key, index, "default"), what, mend) for index in chosen[1:]]


def day(value: Any) -> date:
    """A date that the schema has let through, as text or as a date."""
    return value if isinstance(value, date) else date.fromisoformat(value)


def texts(values: Iterable[str]) -> tuple[str, ...]:
    return tuple(" ".join(value.split()) for value in values)


def _rpm(words: Any) -> float:
    """Turns in a minute, as written where they are written so."""
    quantity = parse(str(words), "cadence")
    return quantity.number if quantity.unit.symbol == "rpm" else quantity.value * 30 / math.pi
