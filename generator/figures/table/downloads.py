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

from generator.figures.table.figures_table import COLUMNS, FiguresTable, records_of
from generator.specs.bike import Bike

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
"""Signs that make a spreadsheet take a cell for a formula."""

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


def escape_formula(text: str) -> str:
    """Text that no spreadsheet runs: with an apostrophe before a sign that would begin a formula."""
    return "'" + text if text.startswith(FORMULA_SIGNS) else text


def _format_csv(rows: Iterable[Sequence[Any]]) -> str:
    """Rows as CSV: RFC 4180, LF; numbers as Python prints them."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for row in rows:
        writer.writerow(
            [escape_formula(cell) if isinstance(cell, str) else repr(cell) for cell in row]
        )
    return out.getvalue()


class FigureLines(NamedTuple):
    """The figures of some bikes as lines of the CSV and the JSON file."""

    csv: str
    json: str
    """Without a comma after the last line."""


def format_figure_lines(table: FiguresTable, slug: str) -> FigureLines:
    """Return all figures of a bike, columns and keys as in `COLUMNS`."""
    records = records_of(slug, table.figures_of(slug))
    lines = [
        json.dumps(dict(zip(COLUMNS, record, strict=True)), ensure_ascii=False, allow_nan=False)
        for record in records
    ]
    return FigureLines(_format_csv(records), ",\n".join(lines))


def format_kinds_csv(table: FiguresTable) -> bytes:
    """The kinds of figures as CSV, one row each."""
    return _format_csv(
        [
            list(KIND_FIELDS),
            *(
                (id, kind.title, kind.unit.si, kind.better, kind.words, kind.formula, kind.source, kind.conditions)
                for id, kind in table.kinds.items()
            ),
        ]
    ).encode()  # fmt: skip


def format_bike_json(bike: Bike) -> bytes:
    """A bike as its spec file states it, in SI, with the declared text."""
    return _format_json(dataclasses.asdict(bike))


def _format_json(value: Any) -> bytes:
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, indent=1, default=_convert_date)
    return text.encode() + b"\n"


def _convert_date(value: Any) -> str:
    if isinstance(value, datetime.date):
        return value.isoformat()
    raise TypeError(f"{value!r} has no JSON form")


def format_data_package(title: str, licence: str) -> bytes:
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
    return _format_json(
        {
            "profile": "tabular-data-package",
            "name": "figures",
            "title": f"{title}: figures",
            "description": f"Figures of electric bicycles with intervals and basis. {licence}",
            "resources": resources,
        }
    )


def make_downloads(
    table: FiguresTable,
    title: str = "",
    licence: str = "",
    parts: Iterable[FigureLines] | None = None,
) -> dict[str, bytes]:
    """Return files by their path in the site; `parts` are the lines of each bike in order, where they are known."""
    parts = (
        [format_figure_lines(table, bike.slug) for bike in table.bikes]
        if parts is None
        else list(parts)
    )
    lines = ",\n".join(part.json for part in parts if part.json)
    return {
        "data/figures.csv": (_format_csv([COLUMNS]) + "".join(part.csv for part in parts)).encode(),
        "data/figures.json": f"[\n{lines}\n]\n".encode(),
        "data/kinds.csv": format_kinds_csv(table),
        "data/datapackage.json": format_data_package(title, licence),
    }
