"""Has anything changed since the site in a folder was built? Answered in a fraction of a second, so nothing heavy is imported.

What a site depends on is hashed whole: bikes, content, templates, this program, the packages that are installed, and
the day that `SOURCE_DATE_EPOCH` names. Of the site itself names, sizes and times are looked at, as `make` and git do.
Where anything is in doubt, the answer is that something has changed.

* inputs     hash of all that a site depends on, or None where that cannot be told
* remember   note what was built from them
* kept       the summary of a site that still stands as it was built, or None
"""

import hashlib
import json
import os
import stat
import sys
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import asdict, fields, replace
from pathlib import Path
from typing import Any

from generator.publish import sealed
from generator.publish.committed import brought_along
from generator.publish.paths import MANIFEST
from generator.publish.summary import Summary
from generator.publish.today import EPOCH
from generator.specs.problems import Problem

FOLDER = ".cache"
OURS = Path(__file__).parents[1]
"""The program."""
_LARGEST = 64 * 1024 * 1024
"""A file beyond this is left to the build, which will say what is wrong with it. [bytes]"""


def inputs(root: Path) -> str | None:
    """Hash of all that the site of a publication depends on; None where a file cannot be read or is none."""
    sums = hashlib.sha256()
    told = (sys.version, os.environ.get(EPOCH, ""), *_installed())
    sums.update(json.dumps(told).encode())
    try:
        for folder in (
            root / "bikes",
            root / "content",
            root / "templates",
            OURS,
            OURS.parent / "templates",
        ):
            for path, inside in _files(folder, ""):
                sums.update(f"\n{inside}\n".encode("utf-8", "surrogateescape"))
                sums.update(hashlib.sha256(_content(path)).digest())
            sums.update(b"\n\n")
    except (OSError, ValueError):
        return None
    return sums.hexdigest()


def _installed() -> list[str]:
    """Names of the installed packages with their versions."""
    found: set[str] = set()
    for entry in sys.path:
        with suppress(OSError):
            found.update(name for name in os.listdir(entry or ".") if name.endswith(".dist-info"))
    return sorted(found)


def _files(folder: Path, inside: str) -> Iterator[tuple[Path, str]]:
    """Every file under a folder, sorted, with its path inside."""
    if not folder.is_dir():
        return
    for entry in sorted(os.scandir(folder), key=lambda entry: entry.name):
        if entry.name == "__pycache__":
            continue
        name = f"{inside}/{entry.name}"
        if entry.is_dir(follow_symlinks=False):
            yield from _files(Path(entry.path), name)
        else:
            yield Path(entry.path), name


def _content(path: Path) -> bytes:
    found = path.stat()
    if not stat.S_ISREG(found.st_mode) or found.st_size > _LARGEST:
        raise ValueError("not a file to read whole")
    return path.read_bytes()


def remember(root: Path, out: Path, hashed: str | None, summary: Summary) -> None:
    """Note that the site in `out` was built from inputs of that hash. What cannot be noted costs time and nothing else."""
    if hashed is None or brought_along(root, FOLDER):
        return
    with suppress(OSError):
        body = {"inputs": hashed, "summary": asdict(summary), "site": _state(out)}
        path = _note(root, out)
        sealed.keep(path, path.name, json.dumps(body).encode())


def kept(root: Path, out: Path, hashed: str | None) -> Summary | None:
    """The summary of the site in `out`, if it was built from inputs of that hash and stands as it was built."""
    path = _note(root, out)
    if hashed is None or not path.is_file() or brought_along(root, FOLDER):
        return None
    text = sealed.kept(path, path.name)
    if text is None:
        return None
    try:
        body = json.loads(text)
        if body["inputs"] != hashed or body["site"] != _state(out):
            return None
        summary = _summary(body["summary"])
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    return replace(summary, kept=True)


def _note(root: Path, out: Path) -> Path:
    """Where the build of a folder is noted."""
    name = hashlib.sha256(os.fsencode(out.absolute())).hexdigest()
    return root / FOLDER / "builds" / f"{name}.json"


def _state(out: Path) -> dict[str, list[int]]:
    """Size and time of every file of a site, by its path. What belongs to others is left out."""
    found = {}
    for name in (MANIFEST, *json.loads((out / MANIFEST).read_text("utf-8"))):
        now = os.stat(out / name, follow_symlinks=False)
        if not stat.S_ISREG(now.st_mode):
            raise ValueError(f"{name} is no file")
        found[name] = [now.st_size, now.st_mtime_ns]
    return found


def _summary(given: Mapping[str, Any]) -> Summary:
    """As it was noted; of that build's changes nothing is left to tell."""
    known = {each.name for each in fields(Summary)} - {"changes", "warnings"}
    warnings = tuple(Problem(**each) for each in given["warnings"])
    return Summary(**{name: given[name] for name in known}, warnings=warnings)
