"""The documents keep up with the program: what they name exists, and what exists is named."""

import re

import click
import pytest

from generator.cli import commands
from tests.project import ROOT

README = (ROOT / "README.md").read_text("utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")

BUILD = (
    "python3 -m venv .venv && .venv/bin/pip install -q -e . && .venv/bin/python -m generator build"
)
TEST = "python3 -m venv .venv && .venv/bin/pip install -q -e '.[test]' && .venv/bin/python -m tests"

everyone = pytest.mark.parametrize("name", sorted(commands.commands))


def help_of(name: str) -> str:
    command = commands.commands[name]
    return command.get_help(click.Context(command, info_name=f"python -m generator {name}"))


@everyone
def test_commands_have_help_with_an_example(name: str) -> None:
    """Help says what a command does, shows one use, and explains every option."""
    command = commands.commands[name]

    assert command.help
    assert f"Example:\n    python -m generator {name}" in help_of(name)
    for parameter in command.params:
        if isinstance(parameter, click.Option):
            assert parameter.help, parameter.name


@everyone
def test_commands_stand_in_both_documents(name: str) -> None:
    assert f"`{name}" in README
    assert f"`{name}" in DEVELOPERS


def test_documents_name_only_commands_that_exist() -> None:
    """Every `python -m generator …` in the documents starts a real command."""
    used = re.findall(r"-m generator ([a-z]+)", README + DEVELOPERS)

    assert used
    assert set(used) <= set(commands.commands)


def test_the_two_commands_stand_in_the_readme() -> None:
    """One line to build, one line to test; and what runs for a change is that same line."""
    lines = README.splitlines()

    assert BUILD in lines
    assert TEST in lines
    assert TEST in (ROOT / ".ci" / "run").read_text("utf-8").splitlines()


def test_documents_name_files_that_exist() -> None:
    """Every path in the documents that begins at the top of the project is there."""
    tops = "bikes|content|templates|generator|tests|\\.ci|pyproject\\.toml"
    named = set(re.findall(rf"`((?:{tops})(?:/[\w.\-]+)*/?)`", README + DEVELOPERS))

    assert len(named) > 15
    assert not [path for path in named if not (ROOT / path).exists()]


def test_documents_name_links_that_exist() -> None:
    """Relative links between the documents, anchors included."""
    for text in (README, DEVELOPERS):
        for target in re.findall(r"\]\(([^)\s]+)\)", text):
            if "://" in target:
                continue
            file, _, anchor = target.partition("#")
            assert (ROOT / file).exists(), target
            if anchor:
                assert anchor in anchors((ROOT / file).read_text("utf-8")), target


def anchors(text: str) -> set[str]:
    """Anchors of a Markdown file's headings, as common hosts make them."""
    heads = re.findall(r"^#+ (.+)$", text, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}


@pytest.mark.parametrize(
    "room", sorted(p.name for p in (ROOT / "generator").iterdir() if p.is_dir())
)
def test_every_room_is_described(room: str) -> None:
    """DEVELOPERS.md draws every room of the house."""
    assert room.startswith("__") or f"`{room}/`" in DEVELOPERS
