"""Real commands that are ended on their way: nothing is half done, nobody is left behind, and nothing lies about."""

import shutil
import signal
import threading
import time
from pathlib import Path
from typing import Any

import pytest

from generator.publish.build.summary import Summary
from tests.publish.disturbed import state
from tests.publish.nursery import Nursery
from tests.publish.processes import complaints, hears_signals, python
from tests.publish.site_on_disk import site_of

DAY = "2026-11-24"


def changed(root: Path) -> Path:
    """The publication with another tagline, which stands on every page."""
    file = root / "content" / "site.yaml"
    file.write_text(file.read_text("utf-8").replace("tagline: ", "tagline: Another. ", 1), "utf-8")
    return root


def leavings(root: Path) -> list[str]:
    """What a build, a handout, a record or a sketch may leave beside its work while it is at it."""
    folders = [root, root / "bikes", root / "content" / "releases", root / ".handout"]
    return [
        path.name
        for folder in folders
        if folder.is_dir()
        for path in folder.glob(".*")
        if path.name not in (".cache", ".handout")
    ]


def alive(process: int) -> bool:
    try:
        state = Path(f"/proc/{process}/stat").read_text("utf-8").rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state != "Z"


class Reader:
    """Fetches a page all the time, and notes what it could not make sense of."""

    def __init__(self, page: Path, sound: set[bytes]) -> None:
        self.fetched, self.wrong, self._ended = 0, [], threading.Event()
        self._page, self._sound = page, sound
        self._thread = threading.Thread(target=self._read)

    def _read(self) -> None:
        while not self._ended.is_set():
            try:
                got = self._page.read_bytes()
            except OSError as error:
                self.wrong.append(repr(error))
            else:
                if got not in self._sound:
                    self.wrong.append(f"{len(got)} bytes")
            self.fetched += 1

    def __enter__(self) -> "Reader":
        self._thread.start()
        return self

    def __exit__(self, *error: object) -> None:
        self._ended.set()
        self._thread.join()


def test_every_moment_of_a_real_build(built: Path, tmp_path: Path, nursery: Nursery) -> None:
    """Looked at before each change of the file system near the site, and at many others: what a kill would leave there.

    A reader that fetches all the time meanwhile gets the old page or the new one.
    """
    out, states = built / "site", tmp_path / "states.txt"
    old, page = state(out), out / "index.html"
    before = page.read_bytes()
    elsewhere = nursery.run("build", "--root", str(changed(built)), "--out", str(tmp_path / "new"))
    after = (tmp_path / "new" / "index.html").read_bytes()
    new = state(tmp_path / "new")
    with Reader(page, {before, after}) as reader:
        ended = nursery.run("build", "--root", str(built), watched=[str(out), str(states)])
    seen = [line.split() for line in states.read_text("utf-8").splitlines()]

    assert (elsewhere["code"], ended["code"]) == (0, 0), ended["err"]
    assert before != after
    assert old != new
    assert ended["changes"] > 200
    assert len(seen) > 20
    assert {one for _, one in seen} == {old, new}
    assert state(out) == new
    assert reader.fetched > 100
    assert reader.wrong == []


def test_every_moment_of_a_build_on_the_spare_site(
    built: Path, tmp_path: Path, nursery: Nursery
) -> None:
    """The same of a build that makes its site of the one before last, after the edit of one bike."""
    out, states = built / "site", tmp_path / "states.txt"
    nursery.run("build", "--root", str(changed(built)))
    assert list((built / ".cache" / "spare").iterdir())
    old = state(out)
    page = out / "bikes" / "pellimor-fenno" / "index.html"
    before, file = page.read_bytes(), built / "bikes" / "pellimor-fenno.yaml"
    file.write_text(file.read_text("utf-8") + "# weighed again\n", "utf-8")
    elsewhere = shutil.copytree(built, tmp_path / "elsewhere", ignore=lambda *_: [".cache", "site"])
    nursery.run("build", "--root", str(elsewhere))
    new = state(elsewhere / "site")
    after = (elsewhere / page.relative_to(built)).read_bytes()
    with Reader(page, {before, after}) as reader:
        ended = nursery.run("build", "--root", str(built), watched=[str(out), str(states)])
    seen = [line.split() for line in states.read_text("utf-8").splitlines()]

    assert ended["code"] == 0, ended["err"]
    assert old != new
    assert len(seen) > 20
    assert {one for _, one in seen} == {old, new}
    assert reader.fetched > 100
    assert reader.wrong == []


@pytest.fixture(scope="module")
def takes(
    nursery: Nursery, first_build: tuple[Path, Summary, list[float]], tmp_path_factory: Any
) -> float:
    """Seconds of a build by two workers."""
    root = shutil.copytree(first_build[0], tmp_path_factory.mktemp("takes") / "publication")
    ended = nursery.run("build", "--root", str(root), workers=2)
    assert ended["code"] == 0
    assert len(ended["workers"]) > 1
    return float(ended["seconds"])


@pytest.mark.parametrize(
    ("kind", "share"),
    [
        (signal.SIGKILL, 0.4),
        (signal.SIGKILL, 0.85),
        (signal.SIGINT, 0.4),
        (signal.SIGTERM, 0.85),
    ],
)
def test_a_build_of_a_crew_is_ended(
    built: Path, nursery: Nursery, takes: float, kind: signal.Signals, share: float
) -> None:
    """Early and late, by force and politely: the site is one of the two, no worker is left, a polite end leaves nothing."""
    out = built / "site"
    old = site_of(out)
    command = ("build", "--root", str(changed(built)))
    ended = nursery.run(*command, workers=2, after=share * takes, signal=kind)

    if ended["code"] != 0:  # it may have been done before
        assert site_of(out) == old
        assert ended["code"] == (-kind if kind == signal.SIGKILL else 128 + kind)
        assert complaints(ended["err"]) == ([] if kind == signal.SIGKILL else ["Stopped."])
    if kind != signal.SIGKILL:
        assert leavings(built) == []
    deadline = time.monotonic() + 20
    while any(map(alive, ended["workers"])) and time.monotonic() < deadline:
        time.sleep(0.05)
    assert not any(map(alive, ended["workers"]))


def test_the_next_build_clears_up(built: Path, tmp_path: Path, nursery: Nursery) -> None:
    """After a kill in the middle of writing, and after one just before the end."""

    def last() -> int:
        """Changes of the file system that a build of the same would make now."""
        twin = shutil.copytree(built, tmp_path / "twin")
        made = nursery.run("build", "--root", str(twin))["changes"]
        shutil.rmtree(twin)
        return int(made)

    old = site_of(built / "site")
    changed(built)
    for point in (lambda: last() // 3, lambda: last() - 1):
        killed = nursery.run("build", "--root", str(built), die_at=point())
        assert killed["code"] == -signal.SIGKILL
    assert leavings(built)
    new = site_of(built / "site")
    ended = nursery.run("build", "--root", str(built))

    assert new != old
    assert (ended["code"], leavings(built)) == (0, [])
    assert site_of(built / "site") == new


def test_a_lost_helper_is_told_of(built: Path, nursery: Nursery) -> None:
    """As when memory runs out: words, exit code 1, and the earlier site."""
    old = site_of(built / "site")
    ended = nursery.run(
        "build", "--root", str(changed(built)), workers=2, after=0, signal=signal.SIGKILL,
        victim="worker",
    )  # fmt: skip

    assert ended["code"] == 1
    assert "was ended from outside" in ended["err"]
    assert "Traceback" not in ended["err"]
    assert site_of(built / "site") == old
    assert leavings(built) == []


SKETCH = ("--like", "pellimor-fenno", "--maker", "Oskelm", "--name", "Velp", "--year", "2026")


@pytest.mark.parametrize(
    ("words", "made"),
    [
        (("sketch", *SKETCH), "bikes/oskelm-velp.yaml"),
        (("impact", "--record", DAY), f"content/releases/{DAY}.json"),
        (("handout", "pellimor-fenno"), ".handout/pellimor-fenno"),
    ],
)
def test_what_else_writes(built: Path, nursery: Nursery, words: tuple[str, ...], made: str) -> None:
    """Killed before the first and the last change of the file system: all of it or nothing, and no part beside it."""
    command = (words[0], "--root", str(built), *words[1:])
    place = built / made
    whole = nursery.run(*command)
    assert whole["code"] == 0, whole["err"]
    wanted = _of(place)
    _remove(place)
    early = [] if words[0] == "handout" else [1]  # it draws all it has before it writes
    for point in (*early, whole["changes"]):
        ended = nursery.run(*command, die_at=point)
        assert ended["code"] == -signal.SIGKILL
        assert _of(place) in ({}, wanted)
        if words[0] != "handout":
            assert leavings(built) == []
        _remove(place)
    polite = nursery.run(*command, signal=signal.SIGTERM, after=whole["seconds"] / 2)
    assert polite["code"] in (0, 128 + signal.SIGTERM)
    assert _of(place) == ({} if polite["code"] else wanted)
    assert nursery.run(*command)["code"] == (
        1 if words[0] == "sketch" and not polite["code"] else 0
    )
    assert _of(place) == wanted
    assert leavings(built) == []


def _of(place: Path) -> dict[str, bytes]:
    if place.is_file():
        return {place.name: place.read_bytes()}
    return site_of(place) if place.is_dir() else {}


def _remove(place: Path) -> None:
    for path in sorted(place.rglob("*"), reverse=True) if place.is_dir() else []:
        path.rmdir() if path.is_dir() else path.unlink()
    if place.is_dir():
        place.rmdir()
    else:
        place.unlink(missing_ok=True)


def test_a_signal_while_python_starts(tmp_path: Path) -> None:
    """Before the command hears it, Ctrl-C ends it without a traceback."""
    program = (
        "import os, runpy, signal, sys\n"
        "class Loading:\n"
        "    def find_spec(self, name, path, target=None):\n"
        "        if name == 'generator.cli':\n"
        "            os.kill(os.getpid(), signal.SIGINT)\n"
        "sys.meta_path.insert(0, Loading())\n"
        "sys.argv = ['generator', '--help']\n"
        "runpy.run_module('generator', run_name='__main__', alter_sys=True)\n"
    )
    ended = python(program, before=hears_signals)

    assert ended.returncode == -signal.SIGINT
    assert ended.stderr == ""


def test_ignored_signals_stay_ignored(built: Path) -> None:
    """Under `nohup` a closed terminal ends nothing."""
    program = (
        "import os, signal\n"
        "from generator.publish.build.interrupt import interruptible\n"
        "with interruptible():\n"
        "    os.kill(os.getpid(), signal.SIGHUP)\n"
        "    print('on')\n"
    )
    ended = python(program, before=lambda: signal.signal(signal.SIGHUP, signal.SIG_IGN))

    assert (ended.returncode, ended.stdout, ended.stderr) == (0, "on\n", "")


def test_a_signal_waits_for_a_step() -> None:
    """It is heard after the outermost of two blocks."""
    program = (
        "import os, signal\n"
        "from generator.publish.build.interrupt import Interrupted, interruptible, undisturbed\n"
        "try:\n"
        "    with interruptible(), undisturbed():\n"
        "        with undisturbed():\n"
        "            os.kill(os.getpid(), signal.SIGTERM)\n"
        "            print('inner')\n"
        "        print('outer')\n"
        "except Interrupted as signal:\n"
        "    print(signal.exit_code)\n"
    )
    ended = python(program)

    assert ended.stdout.split() == ["inner", "outer", "143"]
