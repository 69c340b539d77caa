"""From what `vet` is given to the files that it checks."""

import os
from collections.abc import Iterable, Iterator
from difflib import get_close_matches
from pathlib import Path

from generator.specs.problems import Mistyped, Problem, ProblemsFound


def named_files(root: Path, named: Iterable[Path]) -> tuple[Path, ...]:
    """The files that are named, a folder being all spec and content files in it; none for the publication itself.

    Raises
    ------
    Mistyped
        When there is no such file or folder, with the nearest names.
    ProblemsFound
        When a folder is no part of the publication, or has nothing to check in it.
    """
    found: dict[Path, None] = {}
    whole = False
    for each in named:
        if not os.path.exists(each):  # of any name at all
            raise Mistyped([_not_there(root, each)])
        if not os.path.isdir(each):
            found[each] = None
        elif each.resolve() == root.resolve():
            whole = True
        else:
            found |= dict.fromkeys(_inside(root, each))
    return () if whole else tuple(found)


def _inside(root: Path, folder: Path) -> list[Path]:
    """What a folder holds that is checked, sorted."""
    try:
        part = folder.resolve().relative_to(root.resolve()).parts[0]
    except ValueError:
        part = ""
    if part not in ("bikes", "content"):
        what, mend = "this folder is no part of the publication", "Name one in bikes/ or content/"
        raise ProblemsFound([Problem(str(folder), 0, 0, what, mend)])
    files = sorted(folder.glob("*.yaml") if part == "bikes" else _texts(folder))
    if not files:
        what, mend = "there is nothing to check in this folder", "Name one that holds files"
        raise ProblemsFound([Problem(str(folder), 0, 0, what, mend)])
    return files


def _texts(folder: Path) -> Iterator[Path]:
    for path in folder.rglob("*"):
        hidden = any(part.startswith(".") for part in path.relative_to(folder).parts)
        if path.is_file() and not hidden:
            yield path


def _not_there(root: Path, file: Path) -> Problem:
    """With the names beside it that are nearest; a name without a folder may be that of a bike."""
    folders = [file.parent, root / "bikes"] if len(file.parts) < 2 else [file.parent]
    there = {
        each.name: each for folder in folders if os.path.isdir(folder) for each in folder.iterdir()
    }
    names = dict.fromkeys([file.name, f"{file.stem}.yaml"])
    near = dict.fromkeys(
        there[found] for name in names for found in get_close_matches(name, there, 3, 0.7)
    )
    words = " or ".join(f"'{each}'" for each in list(near)[:3])
    mend = f"Did you mean {words}?" if near else "Check the name and the folder"
    return Problem("vet", 0, 0, f"File '{file}' does not exist", mend)
