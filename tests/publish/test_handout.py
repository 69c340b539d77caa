"""The command `handout`: its folder, its exit codes and its messages."""

import json
import sys
from pathlib import Path

import pytest

from generator.publish.handout import make_handout
from generator.specs.problems import ProblemsFound
from tests.publish.processes import generator, started

FILES = {
    "description.txt",
    "speak.txt",
    "speak.html",
    "index.html",
    "handout.css",
    "code.svg",
    "code.png",
}


def made(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_the_folder_of_a_bike(root: Path) -> None:
    """It is in `.handout/` by default and the command prints its place; the site is not touched."""
    ended = generator("handout", "pellimor-fenno", "--root", str(root))
    folder = root / ".handout" / "pellimor-fenno"

    assert ended.returncode == 0, ended.stderr
    assert str(folder / "index.html") in ended.stdout
    assert set(made(folder)) > FILES | {"test-day.html", "test-day.yaml"}
    assert not (root / "site").exists()
    assert [path.name for path in folder.parent.iterdir() if "staging" in path.name] == []


def test_two_runs_give_the_same_bytes(root: Path, tmp_path: Path) -> None:
    """The second run is in another process, with another hash seed."""
    make_handout(root, ["pellimor-fenno,pellimor-trial"], tmp_path / "one")
    ended = generator(
        "handout",
        "pellimor-fenno",
        "pellimor-trial",
        "--root",
        str(root),
        "--out",
        str(tmp_path / "two"),
    )

    assert ended.returncode == 0, ended.stderr
    assert made(tmp_path / "one") == made(tmp_path / "two")


def test_a_guide_and_its_chapters(root: Path, tmp_path: Path) -> None:
    """A guide's handout has its chapters and the figures of its text, and no sheet for a test day."""
    guide = root / "content" / "guides" / "two.md"
    text = guide.read_text("utf-8").replace(
        "---\n\nThe", "chapters:\n  Two bikes: 0:00\n---\n\nThe"
    )
    guide.write_text(text + "\n## The end\n\nText.\n", "utf-8")
    make_handout(root, ["two"], tmp_path / "out")
    found = made(tmp_path / "out")

    assert b"Chapters\n0:00 Two bikes\n" in found["description.txt"]
    assert b"Pellimor Fenno: Range, the tramway loop: " in found["description.txt"]
    assert "test-day.html" not in found


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["pellimor-feno"], 2, "there is no guide or bike `pellimor-feno`. Did you mean `pellimor-fenno`"),
        (["pellimor-fenno,two"], 2, "`two` is a guide, and only bikes can be compared"),
        (["pellimor-fenno,pellimor-fenno"], 2, "'pellimor-fenno' is named twice"),
        (["a,b,c,d,e"], 2, "5 bikes are too many to compare"),
        ([], 2, "Missing argument"),
        (["pellimor-fenno", "--outt", "x"], 2, "No such option"),
    ],
)  # fmt: skip
def test_what_cannot_be_made(root: Path, words: list[str], code: int, says: str) -> None:
    """A clear message and an exit code; nothing is written."""
    ended = generator("handout", *words, "--root", str(root))

    assert ended.returncode == code
    assert says in ended.stderr
    assert "Traceback" not in ended.stderr
    assert not (root / ".handout").exists()


def test_a_wrong_file_stops_it(root: Path, tmp_path: Path) -> None:
    """The error has file and line; an earlier handout stays as it was."""
    out = tmp_path / "out"
    make_handout(root, ["two"], out)
    before = made(out)
    guide = root / "content" / "guides" / "two.md"
    guide.write_text(guide.read_text("utf-8").replace("range.rolling", "range.roling"), "utf-8")

    with pytest.raises(ProblemsFound) as found:
        make_handout(root, ["two"], out)

    assert found.value.problems[0].file == "content/guides/two.md"
    assert found.value.problems[0].line == 6
    assert made(out) == before


def test_a_foreign_folder_is_refused(root: Path, tmp_path: Path) -> None:
    """A folder with other files is not replaced; one that a handout wrote is."""
    out = tmp_path / "out"
    out.mkdir()
    (out / "thesis.txt").write_text("dear", "utf-8")

    with pytest.raises(ProblemsFound) as found:
        make_handout(root, ["pellimor-fenno"], out)
    assert "thesis.txt" in found.value.problems[0].what
    assert [path.name for path in out.iterdir()] == ["thesis.txt"]

    (out / "thesis.txt").unlink()
    make_handout(root, ["pellimor-fenno"], out)
    make_handout(root, ["pellimor-trial"], out)
    assert b"Pellimor Trial" in (out / "description.txt").read_bytes()


def test_help_loads_nothing_heavy() -> None:
    """The help has an example, and loads neither numpy nor a picture library."""
    code = (
        "import sys; sys.argv=['x','handout','--help']\n"
        "import generator.cli as cli\n"
        "try: cli.commands(standalone_mode=False)\n"
        "finally:\n"
        " import json; print(json.dumps([name for name in ('numpy','inflect','segno','vl_convert') if name in sys.modules]))"
    )
    import subprocess

    ended = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    lines = ended.stdout.strip().split("\n")

    assert any("python -m generator handout pellimor-fenno" in line for line in lines)
    assert json.loads(lines[-1]) == []
    assert started("generator", "handout", "--help").returncode == 0
