"""The same guide on any machine: odd folders, languages, clocks and rights change nothing, or are told in plain words."""

import os
import shutil
import subprocess
import sys
import unicodedata
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from generator.content.read import read_content
from generator.publish.build.summary import Summary
from generator.specs.problems import Problem
from generator.specs.read import read_bikes
from tests.project import ROOT
from tests.publish.processes import complaints, python
from tests.publish.site_on_disk import site_of

UNPLUGGED = """
import sys

def refuse(event, arguments):
    if event in ("socket.connect", "socket.bind", "socket.getaddrinfo", "socket.sendto"):
        raise PermissionError("a build asked for the network")

sys.addaudithook(refuse)
"""
"""A sitecustomize.py, which Python runs at its start. Its events: PEP 578 and the table in Python's documentation."""


def place(name: str) -> str:
    """A relative path of a folder that was named with care."""
    return os.path.join(".", name)


ODD = unicodedata.normalize("NFD", '-Brücke über\n"d\'Alma" $(exit 3) `x` 50%25 #1 日本 ')
"""Leading dash, letters in two parts, a new line, both quotes, what a shell would run, what an address would read."""


def strange(folder: Path) -> dict[str, str]:
    """An environment in which nothing is as at home, on a processor that rounds each product and has the plainest roots."""
    hooks = folder / "hooks"
    hooks.mkdir()
    (hooks / "sitecustomize.py").write_text(UNPLUGGED)
    return {
        "PATH": os.environ["PATH"],
        "PYTHONPATH": f"{ROOT}{os.pathsep}{hooks}",
        "HOME": "/no/such/home",
        "LC_ALL": "C",
        "PYTHONUTF8": "0",
        "PYTHONCOERCECLOCALE": "0",
        "PYTHONIOENCODING": "ascii",
        "PYTHONHASHSEED": "4294967295",
        "PYTHONOPTIMIZE": "1",
        "TZ": "Pacific/Kiritimati",
        "SOURCE_DATE_EPOCH": "4102444799",
        "NUMBA_CPU_NAME": "generic",
        "NUMBA_CPU_FEATURES": "",
        "NPY_DISABLE_CPU_FEATURES": "X86_V3 X86_V4 AVX512_ICL AVX512_SPR",
        "NUMBA_CACHE_DIR": str(folder / "hooks"),
    }


def test_a_strange_place_builds_the_same_site(
    tmp_path: Path, first_build: tuple[Path, Summary, list[float]]
) -> None:
    """Byte for byte: from another folder, without home, language, network or rights for others, by an old processor."""
    shutil.copytree(first_build[0], tmp_path / ODD, ignore=shutil.ignore_patterns("site"))
    ended = subprocess.run(
        [sys.executable, "-m", "generator", "build", "--root", place(ODD)],
        cwd=tmp_path,
        env=strange(tmp_path),
        capture_output=True,
        stdin=subprocess.DEVNULL,
        check=False,
        umask=0o077,
    )

    assert (ended.returncode, complaints(ended.stderr.decode())) == (0, [])
    assert ended.stdout.decode("ascii").startswith("Built ")
    assert site_of(tmp_path / ODD / "site") == site_of(first_build[0] / "site")
    assert {path.name for path in tmp_path.iterdir()} == {ODD, "hooks"}


def test_the_network_is_really_away(tmp_path: Path) -> None:
    """What the test above relies on."""
    ended = subprocess.run(
        [sys.executable, "-c", "import socket; socket.create_connection(('127.0.0.1', 9))"],
        env=strange(tmp_path),
        text=True,
        capture_output=True,
        check=False,
    )

    assert "a build asked for the network" in ended.stderr


def test_python_without_descriptions_is_refused() -> None:
    ended = subprocess.run(
        [sys.executable, "-OO", "-m", "generator", "build"],
        cwd=ROOT,
        text=True,
        capture_output=True,
        check=False,
    )

    assert ended.returncode == 1
    assert ended.stderr.startswith("Python was started with -OO or PYTHONOPTIMIZE=2")
    assert ended.stderr.count("\n") == 1


WITHOUT_SEMAPHORES = """
from multiprocessing.context import BaseContext
from generator.publish.build import worker_pool

def refuse(context):
    raise OSError(30, "Read-only file system")

BaseContext.Lock = refuse
worker_pool.os.sched_getaffinity = lambda process: {0, 1}
print(worker_pool.count_workers(), list(worker_pool.map_in_processes(str, range(5))))
"""

WITHOUT_PROCESSES = """
import os
from generator.publish.build import worker_pool

fork, made = os.fork, []

def refuse():
    if len(made) == ALLOWED:
        raise BlockingIOError(11, "Resource temporarily unavailable")
    made.append(fork())
    return made[-1]

os.fork = refuse
worker_pool.count_workers = lambda: 2
print(list(worker_pool.map_in_processes(str, range(5))), len(made))
"""


def test_a_container_without_semaphores_shares_the_work_too() -> None:
    """sem_open(3): a POSIX semaphore needs a writable /dev/shm, which not every container has."""
    ended = python(WITHOUT_SEMAPHORES)

    assert (ended.stdout, ended.stderr) == (f"2 {[str(n) for n in range(5)]}\n", "")


@pytest.mark.parametrize("allowed", [0, 1])
def test_where_no_more_processes_may_be_made_one_does_it_all(allowed: int) -> None:
    """fork(2), EAGAIN: a limit on processes was met, before the first worker or before the second."""
    ended = python(WITHOUT_PROCESSES.replace("ALLOWED", str(allowed)))

    assert (ended.stdout, ended.stderr) == (f"{[str(n) for n in range(5)]} {allowed}\n", "")


def texts(root: Path) -> list[Path]:
    return [path for part in ("bikes", "content") for path in sorted((root / part).rglob("*.*"))]


def read(root: Path) -> tuple[Any, list[Problem]]:
    """All that is read, but for the hashes of the files."""
    bikes, problems = read_bikes(root)
    content, more = read_content(root)
    return ([replace(bike, digest="") for bike in bikes], content), [*problems, *more]


def unhashed(read_things: Any) -> str:
    """As words; a hash is 64 signs that no text here holds otherwise."""
    words = repr(read_things)
    for part in {part for part in words.split("'") if len(part) == 64 and part.isalnum()}:
        words = words.replace(part, "hash")
    return words


SAVED = {
    "Windows": lambda text: text.replace("\n", "\r\n").encode(),
    "Windows with a mark": lambda text: b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode(),
    "old Macintosh": lambda text: text.replace("\n", "\r").encode(),
    "no last line end": lambda text: text.rstrip("\n").encode(),
}


@pytest.mark.parametrize("save", SAVED.values(), ids=SAVED.keys())
def test_editors_of_any_system(root: Path, save: Callable[[str], bytes]) -> None:
    """Line ends and a byte order mark are no part of a text: YAML 1.2, 5.4; CommonMark 2.1; RFC 4180."""
    before, problems = read(root)
    for path in texts(root):
        path.write_bytes(save(path.read_text("utf-8")))
    after, more = read(root)

    assert more == problems == []
    assert unhashed(after) == unhashed(before)
    assert len(texts(root)) > 8


@pytest.mark.parametrize(
    ("encoding", "words"),
    [
        ("utf-16", "is in UTF-16, not in UTF-8"),
        ("utf-32", "is in UTF-32, not in UTF-8"),
        ("utf-16-le", "is not UTF-8 text (byte 0xfc here)"),
        ("latin-1", "is not UTF-8 text (byte 0xfc here)"),
        ("cp037", "not"),
    ],
)
def test_other_encodings_are_named_once_for_each_file(
    root: Path, encoding: str, words: str
) -> None:
    """One line for each file, with what to do; cp037 is what a mainframe writes."""
    for path in texts(root):
        kept = path.read_text("utf-8").encode("latin-1", "replace").decode("latin-1")
        path.write_bytes(("# ü\n" + kept).encode(encoding))
        own = [one for one in read(root)[1] if one.file == path.relative_to(root).as_posix()]

        assert len(own) == 1, (path, own)
        assert words in own[0].what
        assert "UTF-8" in own[0].mend
        path.write_text(kept, "utf-8")


@pytest.mark.parametrize("form", ["NFC", "NFD"])
@pytest.mark.parametrize(
    ("name", "better"),
    [
        ("content/guides/für-zwei.md", "such as fur-zwei"),
        ("bikes/pellimor-køln-straße.yaml", "Call it 'pellimor-koln-strasse.yaml'"),
        ("bikes/pellimor-ñandú.yaml", "Call it 'pellimor-nandu.yaml'"),
    ],
)
def test_a_name_with_an_accent_is_told_what_would_do(
    root: Path, name: str, better: str, form: Any
) -> None:
    """Some file systems store an accent as a sign of its own (Unicode Standard Annex 15): both spellings are told alike."""
    source = root / ("content/guides/two.md" if "guides" in name else "bikes/pellimor-trial.yaml")
    source.rename(root / unicodedata.normalize(form, name))
    problems = read(root)[1]

    assert [unicodedata.normalize("NFC", one.file) for one in problems] == [name]
    assert problems[0].mend.endswith(better)
