"""`content/prices.csv`: observed prices, one on each line.

* read_prices    reads the observations and every problem

Each line is one price at one seller on one day. `money.checks` compares them with the bikes and today's date.
"""

import os
import re
from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal, InvalidOperation
from difflib import get_close_matches
from pathlib import Path

from generator.content.files import read_text
from generator.content.money.csv_cells import CsvCell, CsvError, split_cells
from generator.content.money.read import PriceObservation, minor_digits
from generator.specs.date_words import date_advice
from generator.specs.problems import Problem
from generator.specs.yaml.located import quote_value
from generator.specs.yaml.scalars import is_day

FILE = "content/prices.csv"
NEEDED = ("bike", "seller", "price", "currency", "date", "includes_tax")
OPTIONAL = ("link", "expires", "note")
LARGEST = 2 * 1024 * 1024
"""Size of the file. [B]"""
MOST_PROBLEMS = 100
LONGEST = {"seller": 60, "note": 200, "bike": 80, "link": 80}
DEAREST = Decimal(10_000_000)
"""Highest price, in whole units of any currency. Common sense, no source."""

_AMOUNT = re.compile(r"\d+(\.\d+)?", re.ASCII)
_SEPARATED = re.compile(r"\d{1,3}([,' \u00a0\u202f]\d{3})+(\.\d+)?")
_COMMA = re.compile(r"\d+,\d{1,2}")
_FORMULA = ("=", "+", "-", "@", "\t")
"""Characters that make a spreadsheet take a cell for a formula. Source: OWASP, "CSV Injection" (community page)."""
_TRUTHS = {"yes": True, "no": False}


def read_prices(root: Path) -> tuple[tuple[PriceObservation, ...], list[Problem]]:
    """Observations, sorted by bike, seller, currency and day, and problems.

    No file means no prices; an empty file is a problem.
    """
    path = root / "content" / "prices.csv"
    if not os.path.lexists(path):
        return (), []
    text, _, problems = read_text(path, root, LARGEST)
    if text is None:
        return (), problems
    found, wrong = _read_rows(text)
    problems += [Problem(FILE, *each) for each in wrong[:MOST_PROBLEMS]]
    if len(wrong) > MOST_PROBLEMS:
        what = f"there are more than {MOST_PROBLEMS} problems in this file"
        problems.append(Problem(FILE, 0, 0, what, "Mend the ones listed here first"))
    problems += [] if problems else _compare_observations(found)
    found.sort(key=lambda one: (one.bike, one.seller, one.currency, one.day))
    return tuple(found), problems


PriceFault = tuple[int, int, str, str]
"""Line, column, what is wrong and what would be right."""


def _read_rows(text: str) -> tuple[list[PriceObservation], list[PriceFault]]:
    lines = [(number, line) for number, line in enumerate(text.split("\n"), 1) if line.strip()]
    if not lines:
        return [], [(1, 0, "the file is empty", f"Begin it with {','.join(NEEDED)}")]
    (at, first), *rest = lines
    names, wrong = _read_head(at, first)
    if wrong:
        return [], wrong
    found = []
    for number, line in rest:
        try:
            row = split_cells(line)
        except CsvError as error:
            wrong.append((number, error.column, error.what, error.mend))
            continue
        if len(row) != len(names):
            wrong.append(_explain_cell_count(number, row, names))
            continue
        faults = list(_find_faults(number, dict(zip(names, row, strict=True))))
        wrong += faults
        if not faults:
            found.append(_make_observation(number, dict(zip(names, row, strict=True))))
    return found, wrong


def _read_head(line: int, words: str) -> tuple[list[str], list[PriceFault]]:
    """Names of the columns, and what is wrong with the head line."""
    if words.count(";") > words.count(","):
        mend = "Save it with commas between the cells"
        return [], [(line, words.find(";") + 1, "the cells are set apart by semicolons", mend)]
    try:
        row = split_cells(words)
    except CsvError as error:
        return [], [(line, error.column, error.what, error.mend)]
    names = [cell.text for cell in row]
    known = (*NEEDED, *OPTIONAL)
    wrong: list[PriceFault] = []
    for at, cell in enumerate(row):
        if cell.text not in known:
            near = get_close_matches(cell.text.casefold(), known, 1, 0.6)
            mend = f"Did you mean '{near[0]}'?" if near else f"Known are {', '.join(known)}"
            wrong.append((line, cell.column, f"there is no column {quote_value(cell.text)}", mend))
        elif cell.text in names[:at]:
            what = f"the column '{cell.text}' stands twice"
            wrong.append((line, cell.column, what, "Delete one of them"))
    lacking = [name for name in NEEDED if name not in names]
    if lacking and not wrong:
        what = f"the column '{lacking[0]}' is missing"
        wrong.append((line, 1, what, f"Begin the file with {','.join(NEEDED)}"))
    return names, wrong


def _explain_cell_count(line: int, row: Sequence[CsvCell], names: Sequence[str]) -> PriceFault:
    what = f"the line has {len(row)} cells, and the first line names {len(names)} columns"
    if len(row) > len(names):
        mend = "Put a cell that holds a comma between quotes, or delete what is too much"
        return line, row[len(names)].column, what, mend
    return line, row[-1].column, what, f"Write a value, or nothing, for '{names[len(row)]}'"


def _find_faults(line: int, row: dict[str, CsvCell]) -> Iterator[PriceFault]:
    for name, (text, column) in row.items():
        wrong = _find_formula(text) or _find_cell_fault(name, text)
        if wrong:
            yield line, column, *wrong
    currency = row["currency"].text
    price = row["price"].text
    digits = len(price.partition(".")[2])
    if re.fullmatch("[A-Z]{3}", currency) and _AMOUNT.fullmatch(price):
        most = minor_digits(currency)
        if digits > most:
            what = (
                f"{quote_value(price)} has {digits} decimals, and {currency} has {most or 'none'}"
            )
            yield line, row["price"].column, what, "Check the price and the currency"


def _find_formula(text: str) -> tuple[str, str] | None:
    if not text.startswith(_FORMULA) or re.fullmatch(r"-\d+(\.\d+)?", text):
        return None
    what = f"{quote_value(text)} begins with a sign by which a spreadsheet takes it for a formula"
    return what, "Begin it with a letter or a digit"


def _find_cell_fault(name: str, text: str) -> tuple[str, str] | None:
    if not text:
        return (f"there is no {name} here", _EXAMPLES[name]) if name in NEEDED else None
    if len(text) > LONGEST.get(name, 40):
        return f"the {name} has {len(text)} characters", f"Keep to {LONGEST.get(name, 40)}"
    if name == "price":
        return _find_amount_fault(text)
    if name == "currency" and not re.fullmatch("[A-Z]{3}", text):
        return f"{quote_value(text)} is not the code of a currency", _EXAMPLES[name]
    if name in ("date", "expires") and not is_day(text):
        return f"{quote_value(text)} is not a date", date_advice(text) or _EXAMPLES["date"]
    if name == "includes_tax" and text not in _TRUTHS:
        return f"{quote_value(text)} is neither yes nor no", _EXAMPLES[name]
    return None


_EXAMPLES = {
    "bike": "Write the name of its file without .yaml, such as pellimor-fenno",
    "seller": "Write who sells it",
    "price": "Write digits alone, such as 3290 or 3290.50",
    "currency": "Write three capitals, such as EUR",
    "date": "Write year-month-day, such as 2026-10-04",
    "includes_tax": "Write yes, or no for a price without it",
}


def _find_amount_fault(text: str) -> tuple[str, str] | None:
    if _SEPARATED.fullmatch(text):
        plain = re.sub(r"[^0-9.]", "", text)
        return f"{quote_value(text)} has a separator inside its number", f"Write {plain}"
    if _COMMA.fullmatch(text):
        return f"{quote_value(text)} has a decimal comma", f"Write {text.replace(',', '.')}"
    if not _AMOUNT.fullmatch(text):
        try:
            number = Decimal(text)
        except InvalidOperation:
            return f"{quote_value(text)} is not a price", _EXAMPLES["price"]
        kind = "a plain number" if number.is_finite() and number > 0 else "more than nothing"
        return f"{quote_value(text)} is not {kind}", _EXAMPLES["price"]
    if not 0 < Decimal(text) <= DEAREST:
        what = f"{quote_value(text)} is no price of a bike"
        return what, "Check the number against what you saw"
    return None


def _make_observation(line: int, row: dict[str, CsvCell]) -> PriceObservation:
    def text(name: str) -> str:
        return row[name].text if name in row else ""

    return PriceObservation(
        bike=text("bike"),
        seller=" ".join(text("seller").split()),
        amount=Decimal(text("price")),
        currency=text("currency"),
        day=date.fromisoformat(text("date")),
        includes_tax=_TRUTHS[text("includes_tax")],
        link=text("link"),
        expires=date.fromisoformat(text("expires")) if text("expires") else None,
        note=text("note"),
        line=line,
        columns=tuple((name, cell.column) for name, cell in row.items()),
    )


def _compare_observations(found: Sequence[PriceObservation]) -> list[Problem]:
    """Problems of repeated lines, and of prices with and without tax in one history."""
    problems = []
    days: dict[tuple[str, ...], PriceObservation] = {}
    taxed: dict[tuple[str, ...], PriceObservation] = {}
    names: dict[str, PriceObservation] = {}
    for one in found:
        whose = (one.bike, one.seller, one.currency)
        first = days.setdefault((*whose, str(one.day)), one)
        if first is not one:
            same = "the same price" if first.amount == one.amount else "another price"
            what = f"{same} of that seller and day stands on line {first.line} already"
            problems.append(_make_problem(one, "date", what, "Keep one price for each day"))
            continue
        if taxed.setdefault(whose, one).includes_tax != one.includes_tax:
            what = f"this price says {_describe_tax(one)}, and that on line {taxed[whose].line} the opposite"
            mend = "Prices of one seller are compared with each other: write all with tax, or none"
            problems.append(_make_problem(one, "includes_tax", what, mend))
        other = names.setdefault(one.seller.casefold(), one)
        if other.seller != one.seller:
            what = f"the seller is called {quote_value(other.seller)} on line {other.line}"
            problems.append(_make_problem(one, "seller", what, "Write the name alike everywhere"))
        if one.expires and one.expires < one.day:
            what = "the offer ends before the day on which it was seen"
            problems.append(_make_problem(one, "expires", what, "Check both days"))
    return problems


def _describe_tax(one: PriceObservation) -> str:
    return "that tax is in it" if one.includes_tax else "that tax is not in it"


def _make_problem(one: PriceObservation, name: str, what: str, mend: str) -> Problem:
    return Problem(FILE, one.line, one.column(name), what, mend)
