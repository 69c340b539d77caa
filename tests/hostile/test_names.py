"""Names of files and of revisions that somebody chose with intent: each is told in one line that a terminal and a log print
as they are, and does nothing else.

CWE-117 (neutralisation of output for logs), CWE-150 (escape sequences), CWE-88 (argument injection); Unicode Technical
Report 36, 2.7 (bidirectional text).
"""

import os
import shutil
import subprocess
from pathlib import Path

import click
import pytest

from generator.cli import commands
from generator.publish.impact.states.revisions import RevisionError, open_state
from generator.publish.report import (
    format_problems,
    format_problems_as_json,
    format_problems_for_github,
)
from generator.publish.vet.check import check_publication
from tests.content.publication import write_content
from tests.hostile.guarded import guarded
from tests.project import ROOT

NAMES = (
    b"line\nend",
    b"a\n::error file=x::owned",
    b"a\r\n::add-mask::e",
    b"carriage\rreturn",
    b"\x1b[2Jclear",
    b"\x1b]0;title\x07",
    b"bell\x07",
    b"back\x08\x08\x08space",
    "\u202egnp.exe".encode(),
    "\u2066isolate\u2069".encode(),
    "zero\u200bwidth".encode(),
    "line\u2028separator".encode(),
    "\ufeffmark".encode(),
    "\u0085next".encode(),
    "о-cyrillic".encode(),
    "e\u0301".encode(),
    b"\xff\xfe-no-text",
    b"-rf",
    b"--help",
    b"~",
    b"$(id)",
    b"`id`",
    b";id;",
    b"%0Aowned",
    b"*",
    b"{{7*7}}",
    b"<script>alert(1)<",
    b"a b",
    b"..",
    b".hidden",
    b"nul",
    b"com1",
    b"n" * 240,
    b"CON",
)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = write_content(tmp_path / "publication")
    (root / "bikes").mkdir()
    shutil.copy(ROOT / "bikes" / "pellimor-fenno.yaml", root / "bikes")
    return root


@pytest.mark.parametrize("name", NAMES)
def test_a_name_is_told_in_one_plain_line(root: Path, name: bytes) -> None:
    """In the lines for people, for scripts and for notes beside a pull request."""
    for folder, ending, like in (
        ("bikes", b".yaml", "bikes/pellimor-fenno.yaml"),
        ("content/guides", b".md", "content/guides/first-guide.md"),
        ("content/releases", b".json", "content/site.yaml"),
    ):
        (root / folder).mkdir(exist_ok=True)
        target = os.fsencode(root / folder) + b"/" + name + ending
        with open(target, "wb") as file:
            file.write((root / like).read_bytes())
    problems = check_publication(root)
    told = format_problems(problems)
    notes = format_problems_for_github(problems)

    hidden = name.startswith(b".")  # also two dots and an ending
    assert {each.file.split("/")[0] for each in problems} >= (set() if hidden else {"content"})
    assert any(each.file.startswith("bikes/") for each in problems)
    for line in (*told, *notes):
        assert line.isprintable(), ascii(line)
        assert line.encode()
    assert all(note.startswith(("::error file=", "::warning file=")) for note in notes)
    assert "\n::" not in format_problems_as_json(problems)


@pytest.mark.parametrize(
    ("folder", "ending", "text"),
    [
        ("bikes", ".yaml", "name: x\n"),
        ("content/guides", ".md", "x"),
        ("content/lists", ".md", "x"),
    ],
)
def test_thousands_of_files(root: Path, folder: str, ending: str, text: str) -> None:
    """More than a publication may have: one problem, without reading them."""
    (root / folder).mkdir(exist_ok=True)
    for number in range(5001):
        (root / folder / f"f{number}{ending}").write_text(text)
    spent = guarded(lambda: [str(each) for each in check_publication(root)])

    assert [line for line in spent.answer if line.startswith(f"{folder}:") and "5" in line]
    assert len(spent.answer) < 10


def test_a_file_of_any_size_is_not_read_whole(root: Path) -> None:
    """A file of a terabyte, most of it a hole."""
    for place in ("bikes/large.yaml", "content/guides/large.md", "content/prices.csv"):
        with open(root / place, "wb") as file:
            file.truncate(1 << 40)
    told = guarded(lambda: [str(each) for each in check_publication(root)]).answer

    assert sum("larger than" in line for line in told) == 3


@pytest.mark.parametrize(
    "name",
    ["-h", "--upload-pack=id", "--output=/tmp/x", "-c", "--exec-path=.", "--git-dir=/", "@{-1}",
     ":/x", "HEAD:bikes", "HEAD..HEAD", "^HEAD", "main;id", "$(id)", "a\tb", "\u202e",
     "\x1b[2J", "refs/../../x", "x" * 5000, "ext::sh -c id", "https://evil.test/x.git", "HEAD\n-x",
     "\udcff", "~", "*", "@{upstream}", "/etc", "/dev/stdin"],
)  # fmt: skip
def test_a_revision_s_name_is_a_name(root: Path, tmp_path: Path, name: str) -> None:
    """It starts nothing, writes nothing, and is refused in one line."""
    for words in ("init", "add .", "-c user.name=a -c user.email=a@b commit -m x"):
        subprocess.run(["git", *words.split()], cwd=root, check=True, capture_output=True)
    before = sorted(path.relative_to(tmp_path) for path in tmp_path.rglob("*"))
    with pytest.raises(RevisionError) as found, open_state(root, name):
        pass

    assert "there is no revision" in str(found.value) or "the folder" in str(found.value)
    assert sorted(path.relative_to(tmp_path) for path in tmp_path.rglob("*")) == before


@pytest.mark.parametrize(
    "words",
    [
        "vet {}", "vet bikes/{}.yaml", "vet content/{}/x.md", "trace {}", "trace pellimor-fenno {}",
        "handout {}", "build --root {}",
        "sketch --like {} --maker a --name b --year 2026",
        "sketch --like pellimor-fenno --maker a --name b --year 2026 --slug {}",
        "impact {}", "vet --root {}",
    ],
)  # fmt: skip
@pytest.mark.parametrize("name", ["x" * 5000, "\u202e\x1b[2J", "a\nb", "\udcff", "-", "~", "$(id)"])
def test_a_word_on_the_command_line(
    root: Path, words: str, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Is answered with words and an exit code of 1 or 2; nothing is made of it."""
    before = sorted(root.rglob("*"))
    monkeypatch.chdir(root)
    arguments = [word.replace("{}", name) for word in words.split()]

    def run() -> int:
        try:
            commands(arguments, standalone_mode=False)
        except SystemExit as ended:
            return int(ended.code or 0)
        except click.UsageError:
            return 2
        except click.ClickException:
            return 1
        return 0

    assert guarded(run).answer in (1, 2)
    assert sorted(root.rglob("*")) == before
