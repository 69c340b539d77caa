"""Safe YAML: a file or a piece of text becomes plain values with their places, never a traceback.

* read_mapping     reads a file
* parse_mapping    parses text, such as the front matter of a page
* format_path      a file's path relative to the publication
* read_bytes       reads a file's bytes
* suggest_name     advice on a file that is not there
* decode_text      turns UTF-8 bytes into text
* read_text        reads a file's text, for advice on its lines

One pass over the parser's events checks depth, size, doubled keys, anchors and tags before
anything is built, so that no file can exhaust the machine.
"""

import difflib
import hashlib
import os
from pathlib import Path

from generator.specs.problems import Problem
from generator.specs.yaml.events import UNPRINTABLE, build_mapping
from generator.specs.yaml.located import LocatedMapping

LARGEST_FILE = 256 * 1024
"""[B]"""
_MARKS = {
    b"\xff\xfe\x00\x00": "UTF-32",
    b"\x00\x00\xfe\xff": "UTF-32",
    b"\xff\xfe": "UTF-16",
    b"\xfe\xff": "UTF-16",
}
"""Byte order marks of other encodings: Unicode standard, 23.8, "Byte Order Mark"."""


def read_mapping(path: Path, root: Path) -> tuple[LocatedMapping | None, list[Problem]]:
    """Read a YAML file whose top level is a mapping.

    Returns what could be read, and every problem. With problems there may still be a mapping (a
    doubled key keeps its first value), so that later checks can report theirs.
    """
    file = format_path(path, root)
    raw, problems = read_bytes(path, file)
    if raw is None:
        return None, problems
    text, problems = decode_text(raw, file)
    if text is None:
        return None, problems
    return _parse_text(text, file, 1, hashlib.sha256(raw).hexdigest())


def parse_mapping(
    text: str, file: str, first_line: int = 1
) -> tuple[LocatedMapping | None, list[Problem]]:
    """Parse YAML text that begins on line `first_line` of `file`."""
    if len(text) > LARGEST_FILE:
        return None, [_make_size_problem(file, first_line)]
    problem = _find_unprintable(text, file, first_line)
    return (None, [problem]) if problem else _parse_text(text, file, first_line, "")


def format_path(path: Path, root: Path) -> str:
    """The path as the contributor would type it: relative to the root, with forward slashes."""
    try:
        return Path(os.path.abspath(path)).relative_to(os.path.abspath(root)).as_posix()
    except ValueError:
        return path.as_posix()


def read_bytes(path: Path, file: str) -> tuple[bytes | None, list[Problem]]:
    """The bytes of a file, unless it cannot be read or is larger than LARGEST_FILE."""
    try:
        if not path.is_file():
            there = path.exists()
            what = "this is not a file" if there else "there is no such file"
            return None, [Problem(file, 0, 0, what, suggest_name(path))]
        with path.open("rb") as stream:
            raw = stream.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name cannot be used"
        return None, [Problem(file, 0, 0, f"the file cannot be read: {reason}", "Check its rights")]
    if len(raw) > LARGEST_FILE:
        return None, [_make_size_problem(file, 0)]
    return raw, []


def suggest_name(path: Path) -> str:
    """Advice on a file that is not there: a file beside it with a similar name."""
    there = [each.name for each in path.parent.iterdir()] if os.path.isdir(path.parent) else []
    near = difflib.get_close_matches(path.name, [*filter(path.name.__ne__, there)], 1, 0.7)
    return f"Did you mean '{near[0]}'?" if near else "Check the name and the folder"


def decode_text(raw: bytes, file: str) -> tuple[str | None, list[Problem]]:
    """The text of UTF-8 bytes, with or without a byte order mark."""
    if kind := next((name for mark, name in _MARKS.items() if raw.startswith(mark)), None):
        what = f"the file is in {kind}, not in UTF-8"
        return None, [Problem(file, 1, 1, what, "Save it again with the encoding UTF-8")]
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start]
        line = before.count(b"\n") + 1
        column = len(before) - (before.rfind(b"\n") + 1) + 1
        what = f"the file is not UTF-8 text (byte {raw[error.start]:#04x} here)"
        mend = "Save it again as plain text with the encoding UTF-8"
        return None, [Problem(file, line, column, what, mend)]
    problem = _find_unprintable(text, file, 1)
    return (None, [problem]) if problem else (text, [])


def read_text(path: Path) -> str:
    """The text of a file; empty when it cannot be read."""
    raw, _ = read_bytes(path, "")
    return (decode_text(raw, "")[0] or "") if raw else ""


def _parse_text(
    text: str, file: str, first_line: int, digest: str
) -> tuple[LocatedMapping | None, list[Problem]]:
    value, places, texts, problems = build_mapping(text, file, first_line)
    if value is None:
        return None, problems
    return LocatedMapping(file, value, places, texts, digest), problems


def _make_size_problem(file: str, line: int) -> Problem:
    what = f"the file is larger than {LARGEST_FILE // 1024} KB"
    return Problem(file, line, 0, what, "Keep one subject in one file, and leave pictures out")


def _find_unprintable(text: str, file: str, first_line: int) -> Problem | None:
    """The problem of the first character that does not belong in a text file."""
    found = UNPRINTABLE.search(text)
    if found is None:
        return None
    before = text[: found.start()]
    line = before.count("\n") + first_line
    column = len(before) - (before.rfind("\n") + 1) + 1
    what = f"this is not plain text (character U+{ord(found[0]):04X} here)"
    mend = "Remove the character, or save the file again as plain text in UTF-8"
    return Problem(file, line, column, what, mend)
