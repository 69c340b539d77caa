"""The figures table as files: long-form CSV and JSON, the kinds of figures, each bike, and a data package.

The package description follows the Frictionless Data Package, version 1 (specs.frictionlessdata.io).
"""

import csv
import dataclasses
import datetime
import io
import json
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from generator.figures.table.figures_table import COLUMNS, FiguresTable
from generator.specs.bike import Bike

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet takes a cell that begins so for a formula."""

FIELDS: dict[str, tuple[str, str]] = {
    "bike": ("string", "Slug of the bike; its page is bikes/<slug>/."),
    "figure": ("string", "Id of the figure; kinds.csv says what it is."),
    "value": ("number", "The figure, in the unit of the column `unit`."),
    "unit": ("string", "SI symbol; 1 for a bare ratio; an ISO 4217 code for money."),
    "low": ("number", "10th percentile, in the same unit."),
    "high": ("number", "90th percentile, in the same unit."),
    "basis": (
        "string",
        "claimed, measured, computed (from stated values) or estimated (some value assumed).",
    ),
}
KIND_FIELDS: dict[str, str] = {
    "figure": "Id.",
    "title": "Title.",
    "unit": "SI symbol.",
    "better": "higher, lower or neither.",
    "words": "How it is worked out, in words.",
    "formula": "The same in symbols.",
    "source": "Published source of the method.",
    "conditions": "What it holds for.",
}


def harmless(text: str) -> str:
    """Text that no spreadsheet runs: an apostrophe goes before a sign that would begin a formula."""
    return "'" + text if text.startswith(FORMULA_SIGNS) else text


def _csv(rows: Iterable[Sequence[Any]]) -> str:
    """RFC 4180, LF; numbers as Python prints them."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for row in rows:
        writer.writerow([harmless(cell) if isinstance(cell, str) else repr(cell) for cell in row])
    return out.getvalue()


class Rows(NamedTuple):
    """The figures of some bikes in both files, a line each."""

    csv: str
    json: str
    """Without the comma after the last."""


def rows(table: FiguresTable) -> Rows:
    """All figures of a table, columns and keys as in `COLUMNS`."""
    records = table.records()
    lines = [
        json.dumps(dict(zip(COLUMNS, record, strict=True)), ensure_ascii=False, allow_nan=False)
        for record in records
    ]
    return Rows(_csv(records), ",\n".join(lines))


def kinds_csv(table: FiguresTable) -> bytes:
    """One row per kind of figure."""
    return _csv(
        [
            list(KIND_FIELDS),
            *(
                (id, kind.title, kind.unit.si, kind.better, kind.words, kind.formula, kind.source, kind.conditions)
                for id, kind in table.kinds.items()
            ),
        ]
    ).encode()  # fmt: skip


def bike_json(bike: Bike) -> bytes:
    """A bike as its spec file states it, in SI with the declared text beside."""
    return _dump(dataclasses.asdict(bike))


def _dump(value: Any) -> bytes:
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, indent=1, default=_plain)
    return text.encode() + b"\n"


def _plain(value: Any) -> str:
    if isinstance(value, datetime.date):
        return value.isoformat()
    raise TypeError(f"{value!r} has no JSON form")


def data_package(title: str, licence: str) -> bytes:
    """The description of the tables: fields, types, keys, licence."""
    tables = {
        "figures": (FIELDS, ["bike", "figure"]),
        "kinds": ({name: ("string", words) for name, words in KIND_FIELDS.items()}, ["figure"]),
    }
    resources: list[dict[str, Any]] = []
    for name, (fields, key) in tables.items():
        schema: dict[str, Any] = {
            "fields": [
                {"name": field, "type": kind, "description": words}
                for field, (kind, words) in fields.items()
            ],
            "primaryKey": key,
            "missingValues": [""],
        }
        if name == "figures":
            schema["foreignKeys"] = [
                {"fields": "figure", "reference": {"resource": "kinds", "fields": "figure"}}
            ]
        resources.append(
            {
                "name": name,
                "path": f"{name}.csv",
                "profile": "tabular-data-resource",
                "format": "csv",
                "mediatype": "text/csv",
                "encoding": "utf-8",
                "dialect": {"lineTerminator": "\n"},
                "schema": schema,
            }
        )
    return _dump(
        {
            "profile": "tabular-data-package",
            "name": "figures",
            "title": f"{title}: figures",
            "description": f"Figures of electric bicycles with intervals and basis. {licence}",
            "resources": resources,
        }
    )


def downloads(
    table: FiguresTable, title: str = "", licence: str = "", parts: Iterable[Rows] | None = None
) -> dict[str, bytes]:
    """Files by their path below the site's root. `parts` are `rows` of its bikes, in order, where they are known."""
    parts = [rows(table)] if parts is None else list(parts)
    lines = ",\n".join(part.json for part in parts if part.json)
    return {
        "data/figures.csv": (_csv([COLUMNS]) + "".join(part.csv for part in parts)).encode(),
        "data/figures.json": f"[\n{lines}\n]\n".encode(),
        "data/kinds.csv": kinds_csv(table),
        "data/datapackage.json": data_package(title, licence),
    }
