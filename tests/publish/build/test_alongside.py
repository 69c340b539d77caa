"""While a build holds the site: other commands do their work, a second build says who is at work, and nothing is lost."""

import threading
from pathlib import Path

import pytest

from generator.publish.build.staging import claimed_folder
from generator.publish.watch.running import watch_publication
from tests.publish.disturbed import state
from tests.publish.processes import complaints, generator

COMMANDS = {
    "vet": ("vet",),
    "vet --figures": ("vet", "--figures"),
    "trace": ("trace", "pellimor-fenno", "range.rolling"),
    "impact": ("impact", "{root}", "{root}"),
    "handout": ("handout", "pellimor-fenno"),
    "sketch": (
        *("sketch", "--like", "pellimor-fenno", "--maker", "Oskelm", "--name", "Velp", "--year"),
        "2026",
    ),
}


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_needs_not_wait(built: Path, name: str) -> None:
    site = built / "site"
    before = state(site)
    words = [word.format(root=built) for word in COMMANDS[name]]
    with claimed_folder(site):
        done = generator(*words, "--root", str(built))

    assert (done.returncode, "Traceback" in done.stderr) == (0, False), done.stderr
    assert done.stdout.strip()
    assert state(site) == before


def test_a_second_build_says_who_is_at_work(built: Path) -> None:
    site = built / "site"
    before = state(site)
    with claimed_folder(site):
        done = generator("build", "--root", str(built))

    assert done.returncode == 1
    assert "is building this folder. Wait until it is done, or end it." in done.stderr
    assert len(complaints(done.stderr)) == 2, "the problem and the count"
    assert state(site) == before


def test_watching_shows_pages_meanwhile(built: Path) -> None:
    """It keeps a site of its own in memory, and leaves the folder alone."""
    site = built / "site"
    before = state(site)
    ended, ready = threading.Event(), threading.Event()
    lines: list[str] = []
    with claimed_folder(site):
        thread = threading.Thread(
            target=watch_publication,
            args=(built, 0, lines.append, ended, lambda address: ready.set()),
        )
        thread.start()
        try:
            assert ready.wait(60), lines
        finally:
            ended.set()
            thread.join(60)

    assert not thread.is_alive()
    assert state(site) == before
