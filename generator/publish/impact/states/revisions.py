"""Opens a state of a publication: a folder as it is, or a git revision copied into a temporary folder.

git is only queried (`rev-parse`, `ls-tree`, `cat-file`): checkouts, hooks, filters and attributes of the repository
play no part, and the working tree is not touched.
"""

import os
import re
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path

from generator.specs.problems import Problem, ProblemsFound

FOLDERS = ("bikes", "content")
LARGEST_FILE = 21 * 1024 * 1024
"""Most bytes copied of one file: a little more than any reader accepts, so that the reader reports it. [B]"""
WORKING_TREE = "the working tree"

_QUIET = {"LC_ALL": "C", "GIT_TERMINAL_PROMPT": "0", "GIT_NO_LAZY_FETCH": "1"}
_HASH = re.compile(rb"[0-9a-f]{40,64}")
_LINK, _SUBMODULE = "120000", "160000"


class RevisionError(Exception):
    """A named state cannot be read; the message says why, and what would help."""


@dataclass(frozen=True)
class StateFolder:
    """A folder that holds one state, and the name of that state for readers."""

    label: str
    folder: Path


@contextmanager
def open_state(root: Path, wanted: str | None) -> Iterator[StateFolder]:
    """The folder of one state; a temporary one is deleted when the block ends.

    `wanted` is a folder that holds `bikes/`, a git revision of the repository around `root`, or None for `root` itself.

    Raises
    ------
    RevisionError
        If `wanted` is neither a folder nor a revision.
    ProblemsFound
        If there is no room for a copy.
    """
    if wanted is None:
        yield StateFolder(WORKING_TREE, root)
    elif wanted and os.path.isdir(Path(wanted) / "bikes"):  # of any name at all
        yield StateFolder(wanted, Path(wanted))
    else:
        commit, prefix = _resolve_commit(root, wanted)
        with make_temporary_folder() as folder:
            try:
                _copy_tree(root, f"{commit}:{prefix}", folder)
            except OSError as error:
                raise _explain_no_room(error, str(folder)) from error
            yield StateFolder(wanted, folder)


@contextmanager
def make_temporary_folder() -> Iterator[Path]:
    """A folder that is deleted when the block ends. Raises ProblemsFound if none can be made."""
    with ExitStack() as held:
        try:
            name = held.enter_context(tempfile.TemporaryDirectory(prefix="guide-impact-"))
        except OSError as error:
            raise _explain_no_room(
                error, str(error.filename or "the folder of temporary files")
            ) from error
        yield Path(name)


def _explain_no_room(error: OSError, folder: str) -> ProblemsFound:
    """The error to raise when a temporary folder cannot be written."""
    what = f"nothing can be written in this folder of temporary files: {(error.strerror or str(error)).lower()}"
    mend = "Make room there, or name another folder in the environment variable TMPDIR"
    return ProblemsFound([Problem(folder, 0, 0, what, mend)])


def _resolve_commit(root: Path, wanted: str) -> tuple[str, str]:
    """Hash of the wanted commit, and the publication's path within the repository."""
    if not wanted or "\0" in wanted:
        raise RevisionError("a revision needs a name. Try main or HEAD~1.")
    if os.path.isdir(wanted):
        raise RevisionError(
            f"the folder '{wanted}' holds no folder bikes. Name a folder that holds bikes and content, or a git revision."
        )
    status, prefix, complaint = _run_git(root, "rev-parse", "--show-prefix")
    if status:
        if b"dubious ownership" in complaint:
            raise RevisionError(
                "git does not trust this repository, because it belongs to another user. "
                "Allow it with: git config --global --add safe.directory FOLDER"
            )
        raise RevisionError(
            f"'{wanted}' is no folder with bikes, and '{root}' is in no git repository. "
            "Name a folder, or go to a clone of the publication."
        )
    question = ("rev-parse", "--verify", "--quiet", "--end-of-options", f"{wanted}^{{commit}}")
    status, commit, _ = _run_git(root, *question)
    if status or not _HASH.fullmatch(commit.strip()):
        raise RevisionError(
            f"there is no revision and no folder '{wanted}'. {_advise_on_revision(root)}"
        )
    return commit.decode().strip(), os.fsdecode(prefix.rstrip(b"\n"))


def _advise_on_revision(root: Path) -> str:
    """What to try when a revision is not found."""
    _, shallow, _ = _run_git(root, "rev-parse", "--is-shallow-repository")
    if shallow.strip() == b"true":
        return "This clone is shallow and knows only its last commits: git fetch --unshallow brings the others."
    return "Try a branch, a tag or a hash that `git log` shows, such as main or HEAD~1."


def _copy_tree(root: Path, tree: str, target: Path) -> None:
    """Copy the files of bikes and content in a git tree. Links come last, so that nothing is written through one."""
    status, listed, complaint = _run_git(root, "ls-tree", "-r", "-z", "-l", "--full-tree", tree)
    if status:
        if b"ot a valid object name" in complaint:
            folder = tree.partition(":")[2]
            raise RevisionError(f"the publication's folder '{folder}' is not in that revision.")
        raise RevisionError(f"git cannot list the revision: {_take_first_line(complaint)}")
    files: list[tuple[Path, str]] = []
    links: list[tuple[Path, str]] = []
    for entry in filter(None, listed.split(b"\0")):
        facts, _, name = entry.partition(b"\t")
        mode, _, digest, size = facts.decode().split()
        path = os.fsdecode(name)
        if mode == _SUBMODULE or not _is_wanted(path):
            continue
        if size.isdigit() and int(size) > LARGEST_FILE:
            _write_file(target / path, b"\0" * LARGEST_FILE)  # refused for its size
        else:
            (links if mode == _LINK else files).append((target / path, digest))
    blobs = _read_blobs(root, [digest for _, digest in (*files, *links)])
    for file, digest in files:
        _write_file(file, blobs[digest])
    for link, digest in links:
        aim = os.fsdecode(blobs[digest][:4096])
        link.parent.mkdir(parents=True, exist_ok=True)
        if aim and "\0" not in aim:
            link.symlink_to(aim)


def _is_wanted(path: str) -> bool:
    """Is this a file of bikes or content, with a path that stays within the folder?"""
    parts = path.split("/")
    return len(parts) > 1 and parts[0] in FOLDERS and not {"", ".", "..", ".git"} & set(parts)


def _write_file(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)


def _read_blobs(root: Path, digests: list[str]) -> dict[str, bytes]:
    """Contents of git objects by hash."""
    question = "".join(f"{digest}\n" for digest in digests).encode()
    status, answer, complaint = _run_git(root, "cat-file", "--batch", given=question)
    if status:
        raise RevisionError(f"git cannot read the revision: {_take_first_line(complaint)}")
    found: dict[str, bytes] = {}
    place = 0
    for digest in digests:
        end = answer.index(b"\n", place)
        head = answer[place:end].split()
        if len(head) != 3:
            raise RevisionError(
                "this clone is partial and lacks files of that revision. "
                "Clone it whole, without a filter."
            )
        place = end + 1 + int(head[2])
        found[digest] = answer[end + 1 : place]
        place += 1
    return found


def _run_git(root: Path, *arguments: str, given: bytes = b"") -> tuple[int, bytes, bytes]:
    """Run git in `root`; exit code, standard output and standard error."""
    try:
        ended = subprocess.run(
            ["git", "-c", "core.fsmonitor=false", "-C", str(root.resolve()), *arguments],
            input=given,
            capture_output=True,
            env={**os.environ, **_QUIET},
            check=False,
        )
    except FileNotFoundError as error:
        raise RevisionError(
            "git is not installed, so no revision can be read. Install it, or name two folders."
        ) from error
    except OSError as error:
        raise RevisionError(f"git cannot be started: {error.strerror}") from error
    return ended.returncode, ended.stdout, ended.stderr


def _take_first_line(complaint: bytes) -> str:
    return complaint.decode(errors="replace").strip().partition("\n")[0]
