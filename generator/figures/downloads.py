"""The figures table as files: CSV and JSON in long form."""

import csv
import io
import json

from generator.figures.table import COLUMNS, FiguresTable

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet takes a cell that begins so for a formula."""


def harmless(text: str) -> str:
    """Text that no spreadsheet runs: an apostrophe goes before a sign that would begin a formula."""
    return "'" + text if text.startswith(FORMULA_SIGNS) else text


def figures_csv(table: FiguresTable) -> bytes:
    """RFC 4180, UTF-8, LF, header row; numbers as Python prints them."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for record in table.records():
        writer.writerow(
            [harmless(cell) if isinstance(cell, str) else repr(cell) for cell in record]
        )
    return out.getvalue().encode()


def figures_json(table: FiguresTable) -> bytes:
    """A list of objects with the keys of `COLUMNS`, one line each."""
    lines = [
        json.dumps(dict(zip(COLUMNS, record, strict=True)), ensure_ascii=False, allow_nan=False)
        for record in table.records()
    ]
    return ("[\n" + ",\n".join(lines) + "\n]\n").encode()


def downloads(table: FiguresTable) -> dict[str, bytes]:
    """Files by their path below the site's root."""
    return {"data/figures.csv": figures_csv(table), "data/figures.json": figures_json(table)}
