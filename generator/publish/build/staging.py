"""The site on disk: check the folder, write the next site beside it, put it in place.

What stands in the folder under a name with a dot (`.gitignore`, `.git`, `.well-known`) belongs to
whoever put it there and moves over to every new site. Everything else must be the build's own.
"""

import errno
import json
import os
import shutil
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, contextmanager
from itertools import islice
from pathlib import Path
from typing import NamedTuple

from generator.pages.frame.output import Output, UnchangedFile
from generator.publish.build.interrupt import undisturbed
from generator.publish.build.lock import only_build
from generator.publish.build.output_tree import OutputTree
from generator.publish.build.paths import MANIFEST, Claimed, States, state
from generator.publish.build.swap import recover, staging_folder, swap_in
from generator.specs.problems import Problem, ProblemsFound

MOST_COUNTED = 1000
"""Files of others in a folder; whoever names a whole disk need not wait for their number."""


def place_of(out: Path) -> Path:
    """The folder that `out` names, links followed. Raises ProblemsFound where they lead in a circle."""
    try:
        return out.resolve()
    except (OSError, RuntimeError) as error:
        what = "the way to this folder cannot be followed: a link leads in a circle"
        raise ProblemsFound([Problem(str(out), 0, 0, what, "Name another with --out")]) from error


@contextmanager
def claimed_folder(out: Path) -> Iterator[dict[str, str]]:
    """Hold `out` for one build; gives the site that stands there, path to hash.

    Raises
    ------
    ProblemsFound
        When another build is at work, the folder holds files that the build did not write, or
        the file system refuses.
    """
    with ExitStack() as held:
        with _in_plain_words(out):
            out.parent.mkdir(parents=True, exist_ok=True)
            if os.path.ismount(out):
                what = "this folder is the top of a disk of its own, which cannot be swapped in one step"
                mend = f"Name a folder within it, such as {out / 'site'}"
                raise ProblemsFound([Problem(str(out), 0, 0, what, mend)])
            held.enter_context(only_build(out))
            recover(out)
            before = _site_of(out)
        yield before


class Written(NamedTuple):
    """A site that was put in place, by path."""

    hashes: dict[str, str]
    states: States
    """Of the manifest too."""


def write_site(
    outputs: Iterable[Output | UnchangedFile],
    out: Path,
    written: Callable[[Output | UnchangedFile], None],
) -> Written:
    """Write all outputs beside `out`, then swap them in.

    Until the swap nothing in `out` is touched, and what stood there is never written to: it is deleted after the swap.
    After any error the staging folder is gone again. `written` is told of each file.
    """
    staging = staging_folder(out)
    try:
        with _in_plain_words(out):
            tree = OutputTree(staging, out)
        manifest = _write_all(outputs, tree, out, written)
        lines = json.dumps(dict(sorted(manifest.items())), indent=0, ensure_ascii=False)
        with _in_plain_words(out):
            (staging / MANIFEST).write_text(lines + "\n", "utf-8")
            tree.states[MANIFEST] = state(os.lstat(staging / MANIFEST))
            if out.exists():
                _carry_over(out, staging)
            with undisturbed():
                if before := swap_in(staging, out):
                    shutil.rmtree(before, ignore_errors=True)  # `swap.recover` tries again
    finally:
        with undisturbed():
            shutil.rmtree(staging, ignore_errors=True)
    return Written(manifest, tree.states)


def _write_all(
    outputs: Iterable[Output | UnchangedFile],
    tree: OutputTree,
    out: Path,
    written: Callable[[Output | UnchangedFile], None],
) -> dict[str, str]:
    claimed, problems = Claimed(), []
    manifest: dict[str, str] = {}
    for output in outputs:
        if problem := claimed.refused(output.path):
            problems.append(problem)
            continue
        with _in_plain_words(out):
            if isinstance(output, UnchangedFile):
                tree.share(output.path)
            else:
                tree.write(output.path, output.data)
        manifest[output.path] = output.digest
        written(output)
    if problems:
        raise ProblemsFound(problems)
    return manifest


def _site_of(out: Path) -> dict[str, str]:
    """The site that stands in `out`; empty when there is none."""
    if not out.exists():
        return {}
    if not out.is_dir():
        problem = Problem(str(out), 0, 0, "this is a file", "Name a folder for the site")
        raise ProblemsFound([problem])
    manifest = _manifest(out)
    strange = (name for name in _names(out, bool(manifest)) if name not in manifest)
    foreign = list(islice(strange, MOST_COUNTED + 1))
    if foreign:
        many = f"over {MOST_COUNTED}" if len(foreign) > MOST_COUNTED else str(len(foreign) - 1)
        more = f" and {many} more" if len(foreign) > 1 else ""
        what = f"this folder holds `{foreign[0]}`{more}, which the build did not write"
        mend = "Name an empty folder, or move that away: a build replaces the whole folder"
        raise ProblemsFound([Problem(str(out), 0, 0, what, mend)])
    return manifest


def _manifest(out: Path) -> dict[str, str]:
    path = out / MANIFEST
    if path.is_symlink() or not path.is_file():  # a repository may bring a link without an end
        return {}
    try:
        found = json.loads(path.read_text("utf-8"))
    except (FileNotFoundError, ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _names(out: Path, ours: bool) -> Iterator[str]:
    """Every file and link in `out`, without what a new site takes over; the same each time."""
    top = os.fspath(out)
    for folder, folders, files in os.walk(top):
        folders.sort()
        files.sort()
        if folder == top:
            folders[:] = [name for name in folders if not _stays(name, ours)]
            files = [name for name in files if not _stays(name, ours)]
        links = [name for name in folders if os.path.islink(os.path.join(folder, name))]
        inside = "" if folder == top else f"{folder[len(top) :].lstrip(os.sep)}{os.sep}"
        yield from ((inside + name).replace(os.sep, "/") for name in files + links)


def _stays(name: str, ours: bool) -> bool:
    """Does this top-level name belong to somebody else, who may keep it in a site?"""
    return name.startswith(".") if ours else name in (".git", ".gitignore")


def _carry_over(out: Path, staging: Path) -> None:
    shutil.copymode(out, staging)
    for entry in out.iterdir():
        if not entry.name.startswith(".") or entry.name == MANIFEST:
            continue
        if entry.is_dir() and not entry.is_symlink():
            shutil.copytree(entry, staging / entry.name, symlinks=True)
        else:
            shutil.copy2(entry, staging / entry.name, follow_symlinks=False)


@contextmanager
def _in_plain_words(out: Path) -> Iterator[None]:
    """An error of the file system becomes a problem for the person at the keyboard."""
    try:
        yield
    except OSError as error:
        raise ProblemsFound([_refusal(error, out)]) from error


def _refusal(error: OSError, out: Path) -> Problem:
    where = str(error.filename or out)
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        what, mend = "the disk is full", "Make room; the earlier site is as it was"
    elif error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        what = f"`{where}` may not be written"
        mend = "Give yourself the right to write there, or name another folder with --out"
    elif error.errno == errno.ENAMETOOLONG:
        what = "the name is too long for this file system"
        mend = "Name a folder with a shorter path with --out"
    else:
        what = f"`{where}`: {(error.strerror or str(error)).lower()}"
        mend = "Mend that, or name another folder with --out"
    return Problem(str(out), 0, 0, what, mend)
