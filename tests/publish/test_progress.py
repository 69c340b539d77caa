"""What a build shows while it works: a bar that fits on any terminal, plain lines elsewhere, words from the start."""

import fcntl
import os
import struct
import subprocess
import sys
import termios
from itertools import groupby
from pathlib import Path

import pytest

from generator.publish.build.pipeline import COMPUTING, DRAWING
from generator.terminal import bar
from tests.project import ROOT
from tests.publish.processes import generator
from tests.publish.test_cli import everything

WORDS = ["reading", COMPUTING, DRAWING, "done"]


def on_terminal(root: Path, columns: int) -> tuple[str, str]:
    """What a build writes to a terminal of so many columns, and what to its standard output."""
    ours, theirs = os.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    with subprocess.Popen(
        [sys.executable, "-m", "generator", "build", "--root", str(root)],
        cwd=ROOT,
        text=True,
        stdout=subprocess.PIPE,
        stderr=theirs,
    ) as process:
        os.close(theirs)
        shown = everything(ours)
        assert process.stdout
        return shown, process.stdout.read()


@pytest.fixture(autouse=True)
def empty_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is kept that would not have to be computed."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


@pytest.mark.parametrize("columns", [20, 40, 80])
def test_a_bar_fits_on_a_terminal(root: Path, columns: int) -> None:
    """One line, drawn anew in its place, says what is at work from the start, and is gone at the end."""
    shown, summary = on_terminal(root, columns)
    drawn = shown.split("\r")
    words = [line.split("% ")[1].strip() for line in drawn if "%" in line]
    whole = [
        word if len(word) + 12 < columns else word.split(",")[0][: columns - len("100% ") - 1]
        for word in WORDS
    ]

    assert "\n" not in shown
    assert max(map(len, drawn)) < columns
    assert [word for word, _ in groupby(words)] == whole
    assert drawn[1].endswith("  0% reading")
    assert drawn[1].startswith("[")
    assert (drawn[-2].strip(), drawn[-1]) == ("", "")
    assert summary.startswith("Built ")


def test_a_bar_is_gone_before_a_problem(root: Path) -> None:
    """It is told at the beginning of a line, on which nothing else stands."""
    (root / "content" / "site.yaml").unlink()
    shown, _ = on_terminal(root, 80)

    assert "\rcontent/site.yaml" in shown
    assert shown.index("\rcontent/site.yaml") > shown.rindex("%")


def test_plain_lines_without_a_terminal(root: Path) -> None:
    """A line for each phase, and no sign that moves a cursor."""
    ended = generator("build", "--root", str(root))

    assert ended.stderr == f"Reading.\n{COMPUTING.capitalize()}.\nDrawing and writing pages.\n"
    assert ended.stdout.startswith("Built ")


@pytest.mark.parametrize("where", ["2>&-", "2>/dev/full"])
def test_nobody_need_listen(root: Path, where: str) -> None:
    """A build whose error stream is closed or full is made all the same."""
    command = f'"$0" -m generator build --root "$1" {where}'
    ended = subprocess.run(
        ["sh", "-c", command, sys.executable, str(root)], cwd=ROOT, capture_output=True, check=False
    )

    assert ended.returncode == 0
    assert ended.stdout.startswith(b"Built ")


def test_what_is_not_done_is_not_told(built: Path) -> None:
    """Nothing is computed where only a text has changed."""
    generator("build", "--root", str(built))
    guide = built / "content" / "guides" / "two.md"
    guide.write_text(guide.read_text("utf-8") + "\nAnd more.\n", "utf-8")
    ended = generator("build", "--root", str(built))

    assert ended.stderr == f"Reading.\n{DRAWING.capitalize()}.\n"
    assert generator("build", "--root", str(built)).stderr == "Reading.\n"


@pytest.mark.parametrize("columns", [2, 10, 33, 40, 80, 300])
def test_a_bar_of_any_width(columns: int) -> None:
    """Never as wide as the terminal, full at the end, and with its words wherever there is room for them."""
    for share in (0.0, 0.051, 0.35, 1.0):
        line = bar(share, "reading", columns)

        assert len(line) < columns
        assert columns < 13 or line.endswith(f"{int(share * 100)}% reading")
    assert bar(0.05, COMPUTING, 40).endswith("-]   5% computing figures")
    assert bar(0.05, COMPUTING, 80).endswith(f"-]   5% {COMPUTING}")
    assert "-" not in bar(1.0, "reading", columns)
