"""Safe YAML: plain values with their places, and plain words for what is broken."""

import time
from datetime import date
from pathlib import Path

import pytest

from generator.specs.yaml.files import LARGEST_FILE, parse_mapping, read_mapping


def values(text: str) -> dict:
    mapping, problems = parse_mapping(text, "a.yaml")
    assert mapping is not None, problems
    assert not problems
    return mapping.value


def problem(text: str):
    _, problems = parse_mapping(text, "a.yaml")
    assert len(problems) == 1, list(map(str, problems))
    return problems[0]


@pytest.mark.parametrize(
    ("word", "value"),
    [
        # YAML 1.2.2, section 10.3.2 (core schema): null, bool, int and float by these words only
        ("true", True), ("False", False), ("null", None), ("~", None), ("", None),
        ("12", 12), ("-12", -12), ("+12", 12), ("0", 0), ("1.5", 1.5), (".5", 0.5), ("1e3", 1000.0),
        # what the older YAML 1.1 took for something else
        ("no", "no"), ("on", "on"), ("yes", "yes"), ("12:30", "12:30"), ("1_000", "1_000"),
        # rules of this program: leading zeros and other bases stay text
        ("014", "014"), ("0x1F", "0x1F"), ("0o14", "0o14"),
        ("2026-10-04", date(2026, 10, 4)), ("2026-10-4", "2026-10-4"),
        ("'2026-10-04'", "2026-10-04"), ('"12"', "12"), ("47-622", "47-622"), ("18 %", "18 %"),
    ],
)  # fmt: skip
def test_words(word: str, value: object) -> None:
    """Unquoted words mean what a person expects."""
    found = values(f"key: {word}")["key"]
    assert found == value
    assert type(found) is type(value)


def test_places() -> None:
    """A scalar is found at its value, a list or mapping at its key, all from line and column 1."""
    mapping, _ = parse_mapping("a: 1\nb:\n  - {c: x}\n  - d\n", "a.yaml", first_line=11)
    assert mapping is not None
    assert mapping.where(("a",)) == (11, 4)
    assert mapping.where_key(("a",)) == (11, 1)
    assert mapping.where(("b",)) == (12, 1)
    assert mapping.where(("b", 0, "c")) == (13, 9)
    assert mapping.where(("b", 1)) == (14, 5)
    assert mapping.where(("b", 0, "missing")) == (13, 5)
    assert mapping.where(()) == (11, 1)


def test_text_as_written() -> None:
    """A number's text is kept as written."""
    mapping, _ = parse_mapping("a: 0.60", "a.yaml")
    assert mapping is not None
    assert (mapping.value["a"], mapping.text(("a",))) == (0.6, "0.60")


def test_bom_and_crlf(tmp_path: Path) -> None:
    """A file saved on Windows reads the same."""
    path = tmp_path / "a.yaml"
    path.write_bytes("\ufeffname: Fénno\r\nyear: 2026\r\n".encode())
    mapping, problems = read_mapping(path, tmp_path)
    assert problems == []
    assert mapping is not None
    assert mapping.value == {"name": "Fénno", "year": 2026}
    assert mapping.where(("year",)) == (2, 7)


@pytest.mark.parametrize(
    ("text", "line", "what", "mend"),
    [
        ("", 1, "empty", "name: Fenno"),
        ("# only\n# comment\n", 1, "empty", "name: Fenno"),
        ("- a\n- b", 1, "this is a list", "name: Fenno"),
        ("just words", 1, "plain text", "name: Fenno"),
        ("a: 1\nb: 2\na: 3", 3, "on line 1 and on line 3", "delete the other"),
        ("a: &x 1", 1, "'&x'", "write values out"),
        ("a: *x", 1, "'*x'", "Write it out"),
        ("<<: {a: 1}\nb: 2", 1, "'<<'", "Write its keys out"),
        ("a: !!python/object:os.system x", 1, "tag", "quotes"),
        ("a: !x y", 1, "tag", "quotes"),
        ("a: 1\n---\nb: 2", 2, "second document", "---"),
        ("a: 1\nb: .nan", 2, "not a finite number", "Write the number"),
        ("a: -.inf", 1, "not a finite number", "Write the number"),
        ("a: 1e999", 1, "too large", "real size"),
        ("a: 2026-02-30", 1, "not a day", "2026-10-04"),
        ("a: " + "1" * 5000, 1, "5000 characters", "quotes"),
        ("a: {b: one, two, c: d}", 1, "'two' has no value", "commas in quotes"),
        ("a: 1\n\tb: 2", 2, "tab", "spaces"),
        ("a: [1, 2\nb: 3", 2, "begins on line 1", "Close it"),
        ("a: 'open\nb: 3", 1, "quotation mark", "Close it"),
        ("a: one: two", 1, "a colon", "quotes"),
        ("a: @home", 1, "special meaning", "quotes"),
        ("a:\n  b: 1\n c: 2", 3, "does not fit", "same indent"),
        ("a: {{ figure }}", 1, "bracket", "quotes"),
        ("[a]: b", 1, "bracket", "quotes"),
        ('a: "x\\u0007"', 1, "U+0007", "Remove it"),
        ("a: x\x00y", 1, "U+0000", "plain text"),
        ("a: " + "[" * 30 + "]" * 30, 1, "deeper than 20", "Close the brackets"),
        ("a: " + "[" * 100_000, 1, "nest", "Close"),
    ],
)
def test_broken(text: str, line: int, what: str, mend: str) -> None:
    """Broken YAML is named with its line and what would be right."""
    found = problem(text)
    assert (found.file, found.line) == ("a.yaml", line)
    assert what in found.what
    assert mend in found.mend


QUOTES = "summary: {}\nuses: [city]\ntext: {}\nnotes: the rider's own\nlast: 1\n"


@pytest.mark.parametrize("mark", ['"', "'"])
@pytest.mark.parametrize("later", ["plain", '"in quotes"', "'in quotes'", "it's"])
def test_open_quote(mark: str, later: str) -> None:
    """A quotation mark that is never closed is named where it opens, whatever quotes come later."""
    for before in ("", "# don't\n\nfirst: 'sound'\n"):
        text = before + QUOTES.format(mark + "A city bike", later)
        found = problem(text)
        line = before.count("\n") + 1
        assert (found.line, found.column) == (line, 10)
        assert f"a quotation mark opened on line {line} is never closed" in found.what
        assert found.mend == "Close it, or delete it"


def test_open_quote_in_brackets() -> None:
    """The mark may open inside brackets, and the text may begin below the top of its file."""
    text = 'levels:\n  - {name: "Low, speed: 15 km/h}\n  - {name: Mid}\nmass: 24 kg\n'
    _, (found,) = parse_mapping(text, "a.md", first_line=11)
    assert (found.line, found.column) == (12, 12)
    assert "opened on line 12 is never closed" in found.what


def test_nothing_more_from_an_open_quote_on() -> None:
    """Problems before an open quote are reported, misread text after it is not."""
    found = parse_mapping("a: 1\na: 2\ns: 'open\nb: 1\nt: it's\nc: 1\nc: 2\nd\n", "a.yaml")[1]
    assert [each.line for each in found] == [2, 3]


def test_a_text_over_two_lines_is_no_open_quote() -> None:
    """Closed quotes are not blamed for what is wrong further down."""
    found = problem('a: "one\n  two"\nb: [1, 2\nc: 3\n')
    assert "bracket" in found.what
    assert "quotation" not in found.what


@pytest.mark.parametrize("value", ["'Grelm's'", '"Grelm" bike'])
def test_text_after_a_quote(value: str) -> None:
    """An apostrophe inside single quotes closes them, and the text after it is named."""
    found = problem(f"a: 1\nname: {value}\nb: 2\n")
    assert found.line == 2
    assert "after a closing quotation mark" in found.what
    assert "double quotes" in found.mend


@pytest.mark.parametrize(
    ("text", "line", "what", "right"),
    [
        # in a block, first, between and last; YAML itself stops at the next line
        ("a: 1\nmass 63.5 lb\nb: 2", 2, "line 2 'mass 63.5 lb' has no colon", "mass: 63.5 lb"),
        ("mass 63.5 lb\nb: 2", 1, "line 1 'mass 63.5 lb' has no colon", "mass: 63.5 lb"),
        ("a: 1\nmass 63.5 lb\n", 2, "line 2 'mass 63.5 lb' has no colon", "mass: 63.5 lb"),
        ("m:\n  # x\n  volts 36 V # x\n  b: 2", 3, "line 3 'volts 36 V' has", "volts: 36 V"),
        ("mass 63.5 lb # x\nb: 2", 1, "line 1 'mass 63.5 lb' has no colon", "mass: 63.5 lb"),
        ("m:\n  b: 2\n  volts 36 V\nc: 2", 3, "line 3 'volts 36 V' has", "volts: 36 V"),
        ("a: 1\nmotor\n  b: 2", 2, "line 2 'motor' has no colon", "motor:"),
        ("a: 1\nmass = 9 lb\nb: 2", 2, "line 2 'mass = 9 lb' has no colon", "mass: 9 lb"),
        ("a: 1\nrated power 9 W\nb: 2", 2, "'rated power 9 W' has no", "rated_power: 9 W"),
        ("a: 1\nmass:63.5 lb\nb: 2", 2, "missing after the colon: 'mass:63.5", "mass: 63.5 lb"),
        ("mass:63.5 lb\nb: 2", 1, "missing after the colon: 'mass:63.5 lb'", "mass: 63.5 lb"),
        ("m:\n  mass:9 lb\n  b: 2", 2, "missing after the colon: 'mass:9 lb'", "mass: 9 lb"),
        ("a: {b: Low, power:30 %}", 1, "missing after the colon: 'power:30 %'", "power: 30 %"),
        ("a: {power:30 %, b: Low}", 1, "missing after the colon: 'power:30 %'", "power: 30 %"),
        ("uses [city]\nb: 2", 1, "'uses [city]' has no colon", "uses: [city]"),
        ("m:\n  one {b: 1, c: 2}", 2, "'one {b: 1, c: 2}' has", "one: {b: 1, c: 2}"),
        ("m:\n  - what mass # x\n    b: 2", 2, "'what mass' has no", "what: mass"),
        ("a: {b: Low, power 30 %}", 1, "'power 30 %' has no colon", "power: 30 %"),
    ],
)
def test_colons(text: str, line: int, what: str, right: str) -> None:
    """A missing colon, or space after it, is named on its own line, with the corrected line."""
    found = problem(text)
    assert found.line == line
    assert what in found.what
    assert f"Write '{right}'" in found.mend


def test_a_text_that_goes_on_lacks_no_colon() -> None:
    """A text over several lines is not taken for a key."""
    found = problem("a: one\n  with two\n  and: three\n")
    assert found.line == 3
    assert "'with" not in found.mend


def test_first_of_two_is_kept() -> None:
    """A doubled key keeps its first value, so that later checks can go on."""
    mapping, problems = parse_mapping("a: 1\na: {b: [2]}\nc: 3", "a.yaml")
    assert len(problems) == 1
    assert mapping is not None
    assert mapping.value == {"a": 1, "c": 3}
    assert set(mapping.places) == {(), ("a",), ("c",)}
    assert set(mapping.texts) == {("a",), ("c",)}


def test_what_a_doubled_key_holds_has_no_place() -> None:
    """A refused value has no place, so no check of all texts looks for it."""
    mapping, _ = parse_mapping(
        "a: {again: 1}\na: {b: [{date: 2026-10-04}]}\n<<: {d: 1}\n", "a.yaml"
    )
    assert mapping is not None
    assert mapping.value == {"a": {"again": 1}}
    assert set(mapping.texts) == {("a", "again")}
    assert set(mapping.places) == {(), ("a",), ("a", "again")}
    assert values("'<<': 1") == {"<<": 1}  # in quotes it merges nothing, and is not lost


@pytest.mark.parametrize(
    ("raw", "line", "what"),
    [
        (b"name: Fenno\nmaker: Pell\xeemor\n", 2, "not UTF-8"),
        ("name: Fenno".encode("utf-16"), 1, "UTF-16"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", 1, "not UTF-8"),
        (b"PK\x03\x04", 1, "U+0003"),
        (b"a: 1\n" * LARGEST_FILE, 0, "larger than 256 KB"),
    ],
)
def test_not_text(tmp_path: Path, raw: bytes, line: int, what: str) -> None:
    """Files that are not plain UTF-8 text are refused with the line."""
    path = tmp_path / "a.yaml"
    path.write_bytes(raw)
    mapping, problems = read_mapping(path, tmp_path)
    assert mapping is None
    assert [found.line for found in problems] == [line]
    assert what in problems[0].what


def test_no_file(tmp_path: Path) -> None:
    """A missing file and a folder are problems, not exceptions."""
    for path in (tmp_path / "missing.yaml", tmp_path):
        mapping, problems = read_mapping(path, tmp_path)
        assert mapping is None
        assert len(problems) == 1


def test_many_values_are_refused() -> None:
    """A file that holds too many values is given up."""
    assert "more than 20000 values" in problem("a: [" + "1," * 30_000 + "]").what


def test_alias_bomb_is_quick() -> None:
    """Repeats are refused, never expanded."""
    lines = ["a0: &a0 [x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 60)]
    began = time.perf_counter()
    _, problems = parse_mapping("\n".join(lines), "a.yaml")
    assert time.perf_counter() - began < 1
    assert {found.line for found in problems} == set(range(1, 61))
