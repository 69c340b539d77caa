"""Observed prices: every mistake is named with its line and column.

Sources: RFC 4180 for lines and quotes, with Python's own csv module as reference; ISO 4217 for minor units (EUR 2, JPY 0,
KWD 3); OWASP's page "CSV Injection" for signs that begin a formula.
"""

import csv
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.content.money.csv_cells import CsvError, split_cells
from generator.content.money.prices import read_prices
from tests.content.publication import find_problems_with, write_content

HEAD = "bike,seller,price,currency,date,includes_tax,link,expires,note\n"
GOOD = "invor-alpa,Quay Wheels,1149.50,EUR,2026-10-04,yes,,,\n"


def read(root: Path, text: str):
    return read_prices(write_content(root, **{"prices.csv": text}))


def fault(root: Path, text: str) -> tuple[int, int, str, str]:
    """The one problem of a file."""
    _, problems = read(root, text)
    assert len(problems) == 1, list(map(str, problems))
    only = problems[0]
    assert only.file == "content/prices.csv"
    return only.line, only.column, only.what, only.mend


def test_a_sound_file(tmp_path: Path) -> None:
    """A file with a byte order mark, line ends of Windows, quotes, blanks and an empty line is read."""
    text = (
        "\ufeff"
        + HEAD
        + GOOD
        + '\n invor-beta , "The ""Old"" Shop, Quay" ,990,JPY,2026-10-05,no,,2026-12-31,"one, two"\n'
    )
    found, problems = read(
        tmp_path, text.replace("\n", "\r\n").replace(' "The', '"The').replace('Quay" ,', 'Quay",')
    )
    assert not problems
    first, second = found
    assert (first.amount, first.currency, first.includes_tax, first.line) == (
        Decimal("1149.50"),
        "EUR",
        True,
        2,
    )
    assert (second.bike, second.seller, second.note) == (
        "invor-beta",
        'The "Old" Shop, Quay',
        "one, two",
    )
    assert second.expires == date(2026, 12, 31)
    assert not second.includes_tax
    assert second.line == 4


def test_no_file_is_no_problem_and_an_empty_one_is(tmp_path: Path) -> None:
    assert read_prices(write_content(tmp_path)) == ((), [])
    assert "empty" in fault(tmp_path, "\n\n")[2]
    assert read(tmp_path, HEAD)[0] == ()


def line(**changes: str) -> str:
    row = dict(zip(HEAD.strip().split(","), GOOD.strip().split(","), strict=True)) | changes
    return HEAD + ",".join(row.values()) + "\n"


@pytest.mark.parametrize(
    ("changes", "column", "what", "mend"),
    [
        ({"price": "cheap"}, 24, "'cheap' is not a price", "Write digits alone"),
        ({"price": "-5"}, 24, "'-5' is not more than nothing", "digits"),
        ({"price": "nan"}, 24, "'nan' is not more than nothing", "digits"),
        ({"price": "Infinity"}, 24, "'Infinity' is not more than nothing", "digits"),
        ({"price": "1e3"}, 24, "'1e3' is not a plain number", "digits"),
        ({"price": "0"}, 24, "no price of a bike", "Check"),
        ({"price": "99999999"}, 24, "no price of a bike", "Check"),
        ({"price": "1149.505"}, 24, "3 decimals, and EUR has 2", "Check"),
        ({"price": "990.5", "currency": "JPY"}, 24, "1 decimals, and JPY has none", "Check"),
        ({"price": '"1,149.50"'}, 24, "separator", "Write 1149.50"),
        ({"price": '"1149,5"'}, 24, "decimal comma", "Write 1149.5"),
        ({"price": "١١٤٩"}, 24, "not a plain number", "digits"),
        ({"price": ""}, 24, "there is no price here", "digits"),
        ({"price": "€1149"}, 24, "not a price", "digits"),
        ({"currency": "euro"}, 32, "not the code of a currency", "EUR"),
        ({"date": "4.10.2026"}, 36, "not a date", "2026-10-04"),
        ({"date": "2026-02-30"}, 36, "not a date", "year-month-day"),
        ({"includes_tax": "maybe"}, 47, "neither yes nor no", "Write yes"),
        ({"seller": "=HYPERLINK(1)"}, 12, "takes it for a formula", "letter"),
        ({"note": "@SUM(A1)"}, 53, "takes it for a formula", "letter"),
        ({"price": "+1149"}, 24, "takes it for a formula", "letter"),
        ({"seller": "x" * 61}, 12, "61 characters", "60"),
        ({"expires": "2026-10-01"}, 52, "ends before the day", "Check both"),
    ],
)  # fmt: skip
def test_one_wrong_cell(
    tmp_path: Path, changes: dict[str, str], column: int, what: str, mend: str
) -> None:
    found = fault(tmp_path, line(**changes))
    assert found[:2] == (2, column)
    assert what in found[2]
    assert mend in found[3]


@pytest.mark.parametrize(
    ("text", "place", "what", "mend"),
    [
        (HEAD.replace("price", "prise") + GOOD, (1, 13), "no column 'prise'", "'price'"),
        (HEAD.replace("note", "bike") + GOOD, (1, 59), "'bike' stands twice", "Delete"),
        (HEAD.replace("price,", "") + GOOD, (1, 1), "'price' is missing", "Begin"),
        (HEAD.replace(",", ";") + GOOD, (1, 5), "semicolons", "commas"),
        (HEAD + GOOD.strip() + ",more\n", (2, 54), "10 cells", "quotes"),
        (HEAD + "invor-alpa,Quay Wheels\n", (2, 12), "2 cells", "'price'"),
        (HEAD + GOOD.replace("Quay Wheels", '"Quay Wheels'), (2, 12), "not closed", "Close it"),
        (HEAD + GOOD.replace("Quay Wheels", 'Quay "Wheels"'), (2, 17), "middle of a cell", "double"),
        (HEAD + GOOD.replace("Quay Wheels", '"Quay" Wheels'), (2, 18), "behind a closing quote", "comma"),
        (HEAD + GOOD + GOOD, (3, 36), "the same price of that seller and day stands on line 2", "one"),
        (HEAD + GOOD + GOOD.replace("1149.50", "1100"), (3, 33), "another price", "one"),
        (HEAD + GOOD + GOOD.replace("10-04,yes", "10-05,no"), (3, 47), "line 2 the opposite", "all with tax"),
        (HEAD + GOOD + GOOD.replace("Wheels", "wheels").replace("10-04", "10-05"), (3, 12), "'Quay Wheels' on line 2", "alike"),
    ],
)  # fmt: skip
def test_one_wrong_line(
    tmp_path: Path, text: str, place: tuple[int, int], what: str, mend: str
) -> None:
    found = fault(tmp_path, text)
    assert found[:2] == place
    assert what in found[2]
    assert mend in found[3]


def test_not_utf_8_and_problems_of_the_whole_content(tmp_path: Path) -> None:
    problems = find_problems_with(tmp_path, "prices.csv", line(price="cheap"))
    assert [str(each).split(": ")[0] for each in problems] == ["content/prices.csv:2:24"]
    (tmp_path / "content" / "prices.csv").write_bytes(HEAD.encode() + b"caf\xe9\n")
    assert "not UTF-8" in read_prices(tmp_path)[1][0].what


plain = st.text(
    st.characters(
        codec="utf-8", exclude_characters="\r\n\x00", exclude_categories=("Cc", "Zs", "Zl", "Zp")
    ),
    max_size=12,
)


@given(st.lists(plain, min_size=1, max_size=6))
def test_lines_are_taken_apart_as_the_csv_module_takes_them(texts: list[str]) -> None:
    import io

    written = io.StringIO()
    csv.writer(written, lineterminator="").writerow(texts)
    found = split_cells(written.getvalue())
    assert [cell.text for cell in found] == [text.strip() for text in texts]
    assert [cell.column for cell in found] == sorted({cell.column for cell in found})


@given(st.text(st.sampled_from('a",; '), min_size=1, max_size=14))
def test_whatever_is_accepted_reads_the_same_in_the_csv_module(text: str) -> None:
    try:
        found = [cell.text for cell in split_cells(text)]
    except CsvError:
        return
    assert found == [cell.strip() for cell in next(csv.reader([text], strict=True), [""])]
