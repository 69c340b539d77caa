"""The commands: their output, exit codes and messages."""

import json
import os
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import pytest

from generator import terminal
from tests.project import ROOT
from tests.publish.processes import complaints, generator, hears_signals

FENNO = ("pellimor-fenno",)
HEAVY = ("numpy", "numba", "pandas", "altair", "vl_convert", "jinja2")


def vet(root: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return generator("vet", *arguments, "--root", str(root))


def trace(root: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return generator("trace", *arguments, "--root", str(root))


def spoil(root: Path) -> Path:
    """Put two mistakes into the second bike."""
    path = root / "bikes" / "pellimor-trial.yaml"
    text = path.read_text("utf-8")
    path.write_text(
        text.replace("mass: 26.1 kg", "mass: 26.1 kW").replace("year: 2026", "yaer: 2026")
    )
    return path


def test_build_says_what_it_made(root: Path) -> None:
    """Summary on stdout; no bar where there is no terminal."""
    ended = generator("build", "--root", str(root))

    assert ended.returncode == 0
    assert "2 bikes, 1 guide, 1 term" in ended.stdout
    assert "\r" not in ended.stdout + ended.stderr


def test_build_shows_a_bar_on_a_terminal(root: Path) -> None:
    """The bar goes to stderr, and only when that is a terminal; stdout holds the summary alone."""
    ours, theirs = os.openpty()
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
        summary = process.stdout.read()

    assert "100%" in shown
    assert "writing pages" in shown
    assert summary.startswith("Built ")
    assert "%" not in summary


def everything(terminal: int) -> str:
    """Everything written to a terminal until its other end is closed."""
    parts = []
    while True:
        try:
            part = os.read(terminal, 65536)
        except OSError:  # how Linux says that the other end is closed
            break
        parts.append(part)
    os.close(terminal)
    return b"".join(parts).decode()


def test_version(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Name and number of pyproject.toml, whether the program is installed or only lies there."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    words = f"{project['name']} {project['version']}"
    ended = generator("--version")

    assert (ended.returncode, ended.stdout, ended.stderr) == (0, f"{words}\n", "")
    assert "--version" in generator("--help").stdout
    monkeypatch.setattr(terminal, "PROGRAM", "no-such-program")
    assert terminal.version() == f"no-such-program {project['version']}, not installed"
    monkeypatch.setattr(terminal, "SOURCE", tmp_path)
    assert terminal.version() == "no-such-program, not installed"


def test_vet_finds_nothing_wrong(root: Path) -> None:
    ended = vet(root)

    assert (ended.returncode, ended.stdout) == (0, "Bikes and content: no problems.\n")


def test_vet_names_every_problem_with_its_place(root: Path) -> None:
    """Sorted lines on stderr with a count, exit code 1."""
    path = spoil(root)
    lines = vet(root).stderr.splitlines()
    alone = vet(root, str(path))

    assert alone.returncode == 1
    assert lines[:-1] == sorted(lines[:-1], key=lambda line: int(line.split(":")[1]))
    assert all(line.startswith("bikes/pellimor-trial.yaml:") for line in lines[:-1])
    assert " in 1 file" in lines[-1]
    assert alone.stderr.splitlines() == lines


def test_vet_for_scripts_and_pull_requests(root: Path) -> None:
    path = spoil(root)
    as_json = vet(root, "--format", "json")
    for_github = vet(root, str(path), "--format", "github")

    assert as_json.returncode == for_github.returncode == 1
    assert {problem["file"] for problem in json.loads(as_json.stdout)} == {f"bikes/{path.name}"}
    assert for_github.stdout.startswith("::error file=bikes/pellimor-trial.yaml,line=")


def test_vet_checks_the_figures_in_prose(root: Path) -> None:
    """The whole publication is checked with its live text; a file alone is not."""
    guide = root / "content" / "guides" / "two.md"
    guide.write_text(guide.read_text("utf-8") + '{{ figure("pellimor-fenno", "range.nowere") }}\n')

    ended = vet(root)

    assert ended.returncode == 1
    assert "content/guides/two.md:7:" in ended.stderr
    assert vet(root, str(guide)).returncode == 0


def test_vet_of_a_file_from_elsewhere(root: Path, tmp_path: Path) -> None:
    letter = tmp_path / "letter.txt"
    letter.write_text("dear")

    ended = vet(root, str(letter))

    assert ended.returncode == 1
    assert "no part of the publication" in ended.stderr


def test_vet_of_a_folder(root: Path, tmp_path: Path) -> None:
    """All spec and content files in it, and no others; the folder of the publication is all of it."""
    spoil(root)
    (root / "content" / "guides" / ".two.md.swp").write_text("not a text")
    bikes, guides = vet(root, f"{root}/bikes"), vet(root, f"{root}/content/guides")

    assert bikes.returncode == 1
    assert bikes.stderr == vet(root).stderr
    assert (guides.returncode, guides.stdout) == (0, "1 file: no problems.\n")
    guide = root / "content" / "guides" / "two.md"
    guide.write_text(guide.read_text("utf-8").replace("summary:", "sumary:"), "utf-8")
    assert "content/guides/two.md:3:" in vet(root, f"{root}/content").stderr
    assert vet(root, str(root)).stderr == vet(root).stderr


def test_vet_of_a_folder_with_nothing_to_check(root: Path, tmp_path: Path) -> None:
    (root / "content" / "lists").mkdir()
    (root / "templates").mkdir()
    for folder, words in (
        (root / "content" / "lists", "there is nothing to check in this folder"),
        (root / "templates", "this folder is no part of the publication"),
        (tmp_path, "this folder is no part of the publication"),
    ):
        ended = vet(root, str(folder))

        assert (ended.returncode, ended.stdout) == (1, "")
        assert words in ended.stderr


def test_trace_as_json_has_the_agreed_keys(root: Path) -> None:
    """Other people's scripts rely on these keys."""
    one = trace(root, *FENNO, "range.rolling", "--format", "json")
    record = json.loads(one.stdout)
    every = json.loads(trace(root, *FENNO, "--format", "json").stdout)

    assert {
        *("bike", "figure", "value", "unit", "low", "high"),
        *("basis", "inputs", "formula", "source", "conditions"),
    } <= set(record)
    assert (record["bike"], record["figure"], record["unit"]) == (*FENNO, "range.rolling", "m")
    assert record["low"] <= record["value"] <= record["high"]
    assert record["inputs"]
    assert record in every
    assert len({entry["figure"] for entry in every}) == len(every) > 40


def test_trace_as_text_is_a_derivation(root: Path) -> None:
    ended = trace(root, *FENNO, "range.rolling")

    assert ended.returncode == 0
    for label in ("Basis", "How", "Formula", "In numbers", "Inputs", "Holds for", "Method"):
        assert f"\n{label.ljust(12)}" in ended.stdout
    assert max(map(len, ended.stdout.splitlines())) <= 88


def test_trace_of_what_is_not_there_suggests_the_nearest(root: Path) -> None:
    bike = trace(root, "pellimor-feno", "range.rolling")
    figure = trace(root, *FENNO, "range.roling")

    assert (bike.returncode, figure.returncode) == (2, 2)
    assert "`pellimor-fenno`" in bike.stderr
    assert "`range.rolling`" in figure.stderr
    assert "Usage: python -m generator trace" in bike.stderr


def test_a_name_that_is_not_there_is_a_mistyped_command(root: Path) -> None:
    """Exit code 2 from every command that takes the name of a bike, with the nearest."""
    wrong = "pellimor-feno"
    for command in (
        ("trace", wrong),
        ("handout", wrong),
        ("handout", f"pellimor-trial,{wrong}"),
        ("sketch", "--like", wrong, "--maker", "Oskelm", "--name", "Velp", "--year", "2026"),
        ("vet", wrong),
        ("vet", f"{root}/bikes/{wrong}.yaml"),
        ("impact", wrong),
    ):
        ended = generator(*command, "--root", str(root))

        assert ended.returncode == 2, command
        assert ended.stdout == ""
        assert command[0] == "impact" or "pellimor-fenno" in ended.stderr, command


def test_a_figure_that_a_bike_cannot_have_is_not_mistyped(root: Path) -> None:
    """Its file lacks something, which can be mended."""
    path = root / "bikes" / "pellimor-fenno.yaml"
    path.write_text(path.read_text("utf-8").replace("mass: 26.1 kg\n", "", 1), "utf-8")
    ended = trace(root, *FENNO, "spec.mass")

    assert ended.returncode == 1
    assert ended.stderr.startswith("bikes/pellimor-fenno.yaml:0:0: ")


@pytest.mark.parametrize("slug", ["../../etc/passwd", "", ".", "a/b", "*", "\u202e", "a\nb"])
def test_trace_takes_no_path_for_a_bike(root: Path, slug: str) -> None:
    ended = trace(root, slug)

    assert ended.returncode == 2
    assert "there is no bike" in ended.stderr
    assert "Traceback" not in ended.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ("bild",),
        ("build", "--root", "/no/such/folder"),
        ("build", "surplus"),
        ("vet", "no-such-file.yaml"),
        ("vet", "--format", "xml"),
        ("trace",),
    ],
)
def test_a_mistyped_command_ends_with_2(arguments: tuple[str, ...]) -> None:
    ended = generator(*arguments)

    assert ended.returncode == 2
    assert "Usage: python -m generator" in ended.stderr
    assert "Traceback" not in ended.stderr


@pytest.mark.parametrize("command", ["build", "vet"])
def test_an_empty_folder_is_no_publication(tmp_path: Path, command: str) -> None:
    """Each missing thing is one line, and nothing is written."""
    ended = generator(command, "--root", str(tmp_path))

    assert ended.returncode == 1
    assert "content/site.yaml" in ended.stderr
    assert "Traceback" not in ended.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_reader_that_goes_away_hears_no_complaint(root: Path) -> None:
    """As with `trace … | head -0`."""
    with subprocess.Popen(
        [sys.executable, "-m", "generator", "trace", *FENNO, "--root", str(root)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        assert process.stdout
        assert process.stderr
        process.stdout.close()
        complaint = process.stderr.read()

    assert process.returncode == 1
    assert complaint == b""


def test_ctrl_c_is_heard(root: Path) -> None:
    """One word after the phases, the exit code that shells give for it, and nothing left beside the site."""
    with subprocess.Popen(
        [sys.executable, "-m", "generator", "build", "--root", str(root)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        preexec_fn=hears_signals,
    ) as process:
        assert process.stderr
        while process.poll() is None and not (root / ".site.lock").exists():
            time.sleep(0.01)
        process.send_signal(signal.SIGINT)
        complaint = process.stderr.read()

    assert process.returncode == 128 + signal.SIGINT
    assert complaints(complaint.decode()) == ["Stopped."]
    assert list(root.glob(".site*")) == []


@pytest.mark.parametrize(
    "arguments",
    [("--help",), ("build", "--help"), ("trace", "--help"), ("vet", "bikes/pellimor-fenno.yaml")],
)
def test_quick_commands_import_nothing_heavy(arguments: tuple[str, ...]) -> None:
    """Neither help nor a check of one file loads pandas or numpy."""
    program = (
        "import sys\n"
        "from generator.cli import main\n"
        "sys.argv = ['generator', *sys.argv[1:]]\n"
        "try:\n    main()\n"
        "except SystemExit as end:\n    assert not end.code, end.code\n"
        f"heavy = sorted(set({HEAVY!r}) & set(sys.modules))\n"
        "assert not heavy, heavy\n"
    )
    subprocess.run([sys.executable, "-c", program, *arguments], cwd=ROOT, check=True)
