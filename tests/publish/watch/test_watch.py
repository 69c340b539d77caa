"""`watch`, with a real server on its own port and a small publication whose files are saved."""

import http.client
import json
import os
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Generator, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from generator.publish.build.build import build
from generator.publish.watch import builder
from generator.publish.watch.builder import Builder
from generator.publish.watch.changes import find_saved, is_source, read_stamps
from generator.publish.watch.running import watch_publication
from generator.publish.watch.server import find_page_path, format_event, open_server
from generator.publish.watch.stage import ShownSite
from generator.publish.watch.whole import Built, Overtaken, Site
from generator.specs.problems import Problem, ProblemsFound
from tests.project import ROOT

PATIENCE = 60.0
"""Longest time that a test waits. [s]"""
FENNO = "/bikes/pellimor-fenno/"
SUMMARY = "summary: "


@dataclass
class Watched:
    root: Path
    port: int
    said: list[str]

    def get(self, path: str, host: str = "localhost", method: str = "GET") -> tuple[int, bytes]:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        connection.putrequest(method, path, skip_host=True)
        connection.putheader("Host", host)
        connection.endheaders()
        answer = connection.getresponse()
        found = answer.status, answer.read()
        connection.close()
        return found

    def until(self, path: str, good: Callable[[int, bytes], bool]) -> bytes:
        """Request a path until the answer is good, and return its body."""
        end = time.monotonic() + PATIENCE
        while not good(*(answer := self.get(path))):
            assert time.monotonic() < end, (answer, self.said)
            time.sleep(0.05)
        return answer[1]

    def told(self, path: str, identity: str) -> Generator[dict[str, object], None, None]:
        """The events sent to a page, as they arrive."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        connection.request("GET", f"/_events?is={identity}&path={path}")
        answer = connection.getresponse()
        assert answer.getheader("Content-Type", "").startswith("text/event-stream")
        try:
            for line in answer:
                if line.startswith(b"data: "):
                    yield json.loads(line.removeprefix(b"data: "))
        finally:
            answer.close()
            connection.close()

    def spec(self, slug: str = "pellimor-fenno") -> Path:
        return self.root / "bikes" / f"{slug}.yaml"


@pytest.fixture
def watched(root: Path) -> Iterator[Watched]:
    """The publication, watched and built for the first time."""
    said: list[str] = []
    addresses: list[str] = []
    ready, ended = threading.Event(), threading.Event()
    before = set(threading.enumerate())

    def tell(address: str) -> None:
        addresses.append(address)
        ready.set()

    thread = threading.Thread(target=watch_publication, args=(root, 0, said.append, ended, tell))
    thread.start()
    assert ready.wait(PATIENCE)
    port = int(addresses[0].rstrip("/").rpartition(":")[2])
    here = Watched(root, port, said)
    here.until("/", lambda status, page: status == 200)
    yield here
    ended.set()
    thread.join(PATIENCE)
    for other in set(threading.enumerate()) - before:
        other.join(PATIENCE)  # a whole build that had begun may still be ending
    assert not set(threading.enumerate()) - before


def identity_of(page: bytes) -> str:
    found = re.search(rb'src="/_watch\.js\?is=(\w+)" defer', page)
    assert found
    return found[1].decode()


def rename(path: Path, name: str) -> None:
    text = path.read_text("utf-8")
    path.write_text(re.sub(r"^name: .*$", f"name: {name}", text, flags=re.MULTILINE), "utf-8")


def test_a_save_reaches_the_page_and_then_the_site(watched: Watched) -> None:
    """The page is told to reload and has the new words; in the end every page is as `build` writes it."""
    page = watched.get(FENNO)[1]
    events = watched.told(FENNO, identity_of(page))
    assert next(events) == {"reload": False, "problems": []}

    rename(watched.spec(), "Quennelby")

    assert next(told for told in events if told["reload"])
    events.close()
    assert b"Quennelby" in watched.get(FENNO)[1]
    watched.until("/bikes/", lambda status, page: b"Quennelby" in page)
    assert [line for line in watched.said if "2 pages in" in line]
    assert not (watched.root / "site").exists()

    build(watched.root)
    site = watched.root / "site"
    pages = [path.relative_to(site).as_posix() for path in site.rglob("*.html")]
    assert len(pages) > 10
    for name in pages:
        status, served = watched.get(f"/{name}")
        bare = re.sub(rb"<link [^>]*_watch\.css[^>]*>\n<script [^>]*></script>\n", b"", served)
        assert status == 200, name
        assert bare == (site / name).read_bytes(), name


def test_a_broken_bike_is_told_and_the_last_page_stays(watched: Watched) -> None:
    page = watched.get(FENNO)[1]
    events = watched.told(FENNO, identity_of(page))
    next(events)
    sound = watched.spec().read_text("utf-8")

    watched.spec().write_text(sound.replace("motor:", "motor: [", 1), "utf-8")

    told = next(told for told in events if told["problems"])
    problems = told["problems"]
    assert isinstance(problems, list)
    assert problems[0]["file"] == "bikes/pellimor-fenno.yaml"
    assert problems[0]["line"] > 1
    assert problems[0]["what"]
    assert problems[0]["mend"]
    assert watched.get(FENNO) == (200, page)
    # A page that is opened now gets the problems as well.
    assert next(watched.told(FENNO, identity_of(page)))["problems"]

    watched.spec().write_text(sound, "utf-8")

    assert next(told for told in events if not told["problems"])["reload"] is False


def test_a_broken_guide_is_told_and_mended(watched: Watched) -> None:
    """A save of a guide goes through the whole build."""
    guide = watched.root / "content" / "guides" / "two.md"
    sound = guide.read_text("utf-8")
    page = watched.get("/")[1]
    events = watched.told("/", identity_of(page))
    next(events)

    guide.write_text(sound.replace("range.rolling", "range.nowhere"), "utf-8")
    told = next(told for told in events if told["problems"])
    assert "content/guides/two.md" in str(told["problems"])

    guide.write_text(sound.replace("The {{", "Now the {{"), "utf-8")
    watched.until("/guides/two/", lambda status, page: b"Now the" in page)
    assert next(watched.told("/", ""))["problems"] == []


def test_a_deleted_bike_is_gone_and_a_new_one_comes(watched: Watched) -> None:
    text = watched.spec("pellimor-trial").read_text("utf-8")
    watched.spec("pellimor-trial").unlink()
    watched.until("/bikes/pellimor-trial/", lambda status, page: status == 404)

    half = watched.root / "bikes" / ".pellimor-other.yaml.swp"
    half.write_text(text.replace("name: Trial", "name: Other"), "utf-8")
    half.rename(watched.spec("pellimor-other"))  # as editors do
    watched.until("/bikes/pellimor-other/", lambda status, page: status == 200)


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:80", "localhost.evil.example", "", "127.0.0.1:x"]
)
def test_only_names_of_this_machine_are_answered(host: str) -> None:
    """A foreign page whose name resolves to our address (DNS rebinding) can read nothing."""
    with served({"index.html": b"<head></head>"}) as here:
        assert here.get("/", host)[0] == 403
        assert here.get("/_events", host)[0] == 403
        assert here.get("/", f"127.0.0.1:{here.port}")[0] == 200
        assert here.get("/", "LOCALHOST")[0] == 200


@pytest.mark.parametrize(
    "path",
    [
        "/../pyproject.toml",
        "/%2e%2e/pyproject.toml",
        "/..%2f..%2fetc/passwd",
        "//etc/passwd",
        "/bikes/../../x",
        "/%00",
        "/index.html/",
    ],
)
def test_no_path_leaves_the_site(path: str) -> None:
    with served({"index.html": b"<head></head>", "404.html": b"<head></head>lost"}) as here:
        status, data = here.get(path)
        assert status == 404
        assert b"lost" in data


def test_nothing_but_reading() -> None:
    with served({"index.html": b"<head></head>"}) as here:
        for method in ("POST", "PUT", "DELETE", "OPTIONS"):
            assert here.get("/", method=method)[0] == 501
        assert here.get("/", method="HEAD") == (200, b"")


def test_listens_on_loopback_and_takes_the_next_free_port() -> None:
    with served({}) as here:
        with pytest.raises(ProblemsFound, match=f"port {here.port} is in use"):
            open_server(ShownSite(), here.port)
        other = open_server(ShownSite(), None)
        assert other.socket.getsockname()[0] == "127.0.0.1"
        other.server_close()


def test_before_the_first_build_there_is_a_page_that_waits() -> None:
    """The page gets events, so that it reloads and shows problems."""
    with served({}) as here:
        status, page = here.get(FENNO)
        assert status == 503
        told = format_event(ShownSite().take_snapshot(), find_page_path(FENNO), identity_of(page))
        assert json.loads(told) == {"reload": False, "problems": []}


def test_a_mistake_of_ours_ends_nothing(watched: Watched, monkeypatch: pytest.MonkeyPatch) -> None:
    """A failure of the generator is a problem in one line, with the advice to report it."""
    real = Builder.receive_answer

    class Slipping(Site):
        def whole(self, overtaken: Callable[[], bool]) -> Built:
            raise KeyError("slipped")

        ahead = whole

    def slipped(asked: Builder) -> object:
        real(asked)
        return builder._answer_request(Slipping(watched.root), (), lambda: False)

    with monkeypatch.context() as patched:
        patched.setattr(Builder, "receive_answer", slipped)
        rename(watched.spec(), "Quennelby")
        told = next(told for told in watched.told("/", "") if told["problems"])
        assert "KeyError" in str(told["problems"])
        assert "report" in str(told["problems"])
        end = time.monotonic() + PATIENCE
        while not any("KeyError" in line for line in watched.said):
            assert time.monotonic() < end
            time.sleep(0.05)
    rename(watched.spec(), "Quennelbo")
    watched.until("/bikes/", lambda status, page: b"Quennelbo" in page)


def test_a_builder_that_was_ended_from_outside_is_told_and_replaced(watched: Watched) -> None:
    (builder_at_work,) = children()
    os.kill(builder_at_work, signal.SIGKILL)
    rename(watched.spec(), "Quennelby")
    watched.until(
        FENNO,
        lambda status, page: any("ended from outside" in line for line in watched.said),
    )
    assert watched.get(FENNO)[0] == 200
    rename(watched.spec(), "Quennelbo")
    watched.until("/bikes/", lambda status, page: b"Quennelbo" in page)
    assert next(watched.told("/", ""))["problems"] == []


def children() -> list[int]:
    """Ids of the building processes that this one started. From proc(5)."""
    found = []
    for task in Path("/proc/self/task").iterdir():
        for child in (task / "children").read_text().split():
            if b"watch.builder" in Path(f"/proc/{child}/cmdline").read_bytes():
                found.append(int(child))
    return found


def test_what_was_made_before_a_save_came_is_not_lost(root: Path) -> None:
    """After a build is overtaken, the next one makes only the missing files, and returns all of them."""
    plain = Site(root).whole(lambda: False)
    site = Site(root)
    for most in (5, 40, 90):
        with pytest.raises(Overtaken):
            site.whole(after(most))
    ready = len(site._ready)
    built = site.whole(lambda: False)

    assert ready > 60
    assert built.changed == plain.changed
    assert (built.gone, site._ready) == ((), {})


def after(most: int) -> Callable[[], bool]:
    """A function that returns False the first `most` times, then True."""
    asked = iter(range(most))
    return lambda: next(asked, None) is None


def test_what_is_the_same_is_not_told_again(root: Path) -> None:
    site = Site(root)
    first = site.whole(lambda: False)
    assert site.whole(lambda: False).changed == {}

    (root / "bikes" / "pellimor-trial.yaml").unlink()
    without = site.whole(lambda: False)

    assert "bikes/pellimor-trial/index.html" in without.gone
    assert "bikes/index.html" in without.changed
    told = {path: data for path, data in first.changed.items() if path not in without.gone}
    assert {**told, **without.changed} == Site(root).whole(lambda: False).changed


def test_a_page_ahead_is_told_again_where_the_whole_site_has_another(root: Path) -> None:
    """A preview may differ from the whole site, which then replaces it."""
    site = Site(root)
    told = dict(site.whole(lambda: False).changed)
    spec = root / "bikes" / "pellimor-fenno.yaml"
    sound = spec.read_text("utf-8")
    rename(spec, "Quennelby")
    told.update(site.ahead([spec]))
    assert b"Quennelby" in told["bikes/pellimor-fenno/index.html"]
    spec.write_text(sound, "utf-8")
    told.update(site.whole(lambda: False).changed)

    assert told == Site(root).whole(lambda: False).changed


def test_what_editors_leave_behind_does_not_count(tmp_path: Path) -> None:
    assert [is_source(name) for name in ("a.yaml", "b.md")] == [True, True]
    assert not any(map(is_source, (".a.yaml.swp", "a.yaml~", "#a.yaml#", ".#a.yaml", "4913.tmp")))

    (tmp_path / "bikes").mkdir()
    before = read_stamps(tmp_path)
    (tmp_path / "bikes" / "a.yaml~").write_text("x")
    assert not find_saved(before, read_stamps(tmp_path))
    (tmp_path / "bikes" / "a.yaml").write_text("x")
    assert find_saved(before, read_stamps(tmp_path)) == {tmp_path / "bikes" / "a.yaml"}


def test_warnings_do_not_stand_over_the_page() -> None:
    stage = ShownSite()
    stage.set_problems([Problem("a", 1, 1, "x", "y", "warning"), Problem("b", 1, 1, "x", "y")])
    assert [problem.file for problem in stage.take_snapshot().problems] == ["b"]


@pytest.mark.parametrize("kind", [signal.SIGINT, signal.SIGTERM])
def test_ends_cleanly(root: Path, kind: signal.Signals) -> None:
    """Exit code 0 and no traceback, also in the middle of the first build."""
    command = [sys.executable, "-m", "generator", "watch", "--root", str(root)]
    process = subprocess.Popen(
        command, cwd=ROOT, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert process.stdout is not None
    assert "127.0.0.1" in process.stdout.readline()
    process.send_signal(kind)
    said, complained = process.communicate(timeout=PATIENCE)
    assert process.returncode == 0, complained
    assert said.splitlines()[-1] == "Ended."
    assert complained == ""


class served:  # noqa: N801 - reads as a word in a `with` line
    """A server with these files, and no publication behind it."""

    def __init__(self, files: dict[str, bytes]) -> None:
        self._site = ShownSite()
        if files:
            self._site.update_files(files)

    def __enter__(self) -> Watched:
        self._server = open_server(self._site, 0)
        self._server.start()
        return Watched(Path(), self._server.server_port, [])

    def __exit__(self, *error: object) -> None:
        self._server.close()
