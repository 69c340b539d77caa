"""Which files of the content folder are read, and their text.

* list_files              the files of one folder, and a problem for each unusable name
* read_text               the text and hash of one file
* check_inside_content    the problem of a path that leads out of the content folder
* check_slug              the problem of a name that cannot be part of an address

Links that lead out of the content folder are refused, so that a clone publishes what it holds.
"""

import hashlib
import os
import re
from pathlib import Path

from generator.specs.problems import Problem
from generator.specs.slugs import make_slug
from generator.specs.yaml.files import decode_text, format_path

SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
LONGEST_SLUG = 80
RESERVED = frozenset(
    [
        "con",
        "prn",
        "aux",
        "nul",
        *(f"com{n}" for n in range(1, 10)),
        *(f"lpt{n}" for n in range(1, 10)),
    ]
)
"""Names that Windows reserves for devices, whatever their ending."""
LARGEST_TEXT = 256 * 1024
"""Size of a Markdown file. [B]"""
LARGEST_TRACK = 20 * 1024 * 1024
"""Size of a route's profile or track. [B]"""
MOST_FILES = 5000
"""Files in one folder."""


def list_files(folder: Path, root: Path, ending: str) -> tuple[list[Path], list[Problem]]:
    """Files of a folder with the ending `ending`, by name, and a problem for each unusable name.

    Hidden files are ignored. A folder that does not exist has no files.
    """
    files: list[Path] = []
    problems: list[Problem] = []
    if not os.path.lexists(folder):
        return files, problems
    refused = check_inside_content(folder, root)
    if refused:
        return files, [refused]
    try:
        entries = sorted(folder.iterdir())
    except NotADirectoryError:
        what = "this is not a folder"
        mend = f"Make it a folder of files that end in {ending}"
        return files, [Problem(format_path(folder, root), 0, 0, what, mend)]
    except OSError as error:
        what = f"the folder cannot be read: {error.strerror}"
        return files, [Problem(format_path(folder, root), 0, 0, what, "Check its rights")]
    for path in entries:
        if path.name.startswith("."):
            continue
        problem = _check_name(path, root, ending)
        if problem:
            problems.append(problem)
        if problem is None or (problem.severity == "warning" and path.suffix == ending):
            files.append(path)
    if len(files) > MOST_FILES:
        what = f"the folder holds more than {MOST_FILES} texts"
        return [], [
            Problem(format_path(folder, root), 0, 0, what, "Publish them in several places")
        ]
    return files, problems


def read_text(path: Path, root: Path, largest: int) -> tuple[str | None, str, list[Problem]]:
    """Text of a file with line ends `\\n`, SHA-256 of its bytes, and problems."""
    file = format_path(path, root)
    refused = check_inside_content(path, root)
    if refused:
        return None, "", [refused]
    try:
        if not path.is_file():
            what = "this is not a file" if path.exists() else "there is no such file"
            return None, "", [Problem(file, 0, 0, what, "Check the name")]
        with path.open("rb") as stream:
            raw = stream.read(largest + 1)
    except OSError as error:
        what = f"the file cannot be read: {error.strerror}"
        return None, "", [Problem(file, 0, 0, what, "Check its rights")]
    if len(raw) > largest:
        what = f"the file is larger than {largest // 1024} KB"
        return None, "", [Problem(file, 0, 0, what, "Split it, or leave out what is not needed")]
    text, problems = decode_text(raw, file)
    if text is not None:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    return text, hashlib.sha256(raw).hexdigest(), problems


def check_inside_content(path: Path, root: Path) -> Problem | None:
    """The problem of a path that leads, by links or dots, out of the content folder."""
    home = root.resolve() / "content"
    try:
        inside = path.resolve().is_relative_to(home)
    except (OSError, RuntimeError, ValueError):  # a circle of links, a name with a zero byte
        inside = False
    if inside:
        return None
    what = "the file lies outside the folder content/, behind a link"
    return Problem(format_path(path, root), 0, 0, what, "Put a copy of it into the folder")


def _check_name(path: Path, root: Path, ending: str) -> Problem | None:
    file = format_path(path, root)
    refused = check_inside_content(path, root)
    if refused:
        return refused
    if path.is_dir():
        what = "a folder within this folder is not read"
        return Problem(file, 0, 0, what, "Put its files one folder higher", "warning")
    if path.suffix != ending:
        what = f"only files that end in {ending} are read here"
        return Problem(file, 0, 0, what, "Rename it, or put it elsewhere", "warning")
    return check_slug(path.stem, file, 0, 0)


def check_slug(slug: str, file: str, line: int, column: int) -> Problem | None:
    """The problem of a name that cannot be part of an address."""
    if not SLUG.fullmatch(slug) or len(slug) > LONGEST_SLUG:
        better = make_slug(slug, LONGEST_SLUG) or "a-name"
        what = f"the name {slug[:80]!r} cannot be part of an address"
        mend = f"Use small letters, digits and single hyphens, such as {better}"
        return Problem(file, line, column, what, mend)
    if slug in RESERVED:
        what = f"the name {slug!r} is kept for a device on Windows"
        return Problem(file, line, column, what, f"Use another, such as {slug}-bike")
    return None
