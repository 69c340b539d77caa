"""The files for the code host: they parse, their commands exist, and no untrusted code meets a right to write."""

import re
import shlex
from pathlib import Path
from typing import Any

import click
import pytest
import yaml

from generator.cli import commands
from tests.project import ROOT

HOST = ROOT / ".github"
WORKFLOWS = sorted((HOST / "workflows").glob("*.yml"))
FORMS = sorted((HOST / "ISSUE_TEMPLATE").glob("*.yml"))
each = pytest.mark.parametrize("path", WORKFLOWS, ids=lambda path: path.stem)


def read(path: Path) -> dict[Any, Any]:
    found = yaml.safe_load(path.read_text("utf-8"))
    assert isinstance(found, dict)
    return found


def started_by(workflow: dict[Any, Any]) -> dict[str, Any]:
    """What starts it. YAML 1.1 takes the key `on` for true."""
    return workflow[True]


def steps(workflow: dict[Any, Any]) -> list[dict[str, Any]]:
    return [step for job in workflow["jobs"].values() for step in job["steps"]]


def test_there_are_workflows_and_forms() -> None:
    assert {path.stem for path in WORKFLOWS} == {"pull-request", "impact-comment", "publish"}
    assert {path.stem for path in FORMS} == {"add-a-bike", "correct-a-figure", "config"}


def test_every_command_exists_with_its_options() -> None:
    """In workflows, forms and the template of pull requests."""
    texts = [path.read_text("utf-8") for path in HOST.rglob("*") if path.suffix in (".yml", ".md")]
    lines = re.findall(r"python -m generator ([^\n`>]+)", "\n".join(texts))

    assert len(lines) > 5
    for line in lines:
        name, *arguments = shlex.split(line.replace("$", ""))
        known = commands.commands[name]
        options = {option for one in known.params for option in one.opts}
        for place, argument in enumerate(arguments):
            if argument.startswith("--"):
                assert argument in options, line
                choices = next(one.type for one in known.params if argument in one.opts)
                if isinstance(choices, click.Choice):
                    assert arguments[place + 1] in choices.choices, line


@each
def test_untrusted_code_meets_no_right_to_write(path: Path) -> None:
    """No pull_request_target; what runs a change may only read; what may write checks nothing out."""
    workflow = read(path)
    events = set(started_by(workflow))
    jobs = workflow["jobs"].values()
    granted = [workflow["permissions"], *(job.get("permissions", {}) for job in jobs)]
    writes = {right for rights in granted for right, level in rights.items() if level == "write"}
    uses = [step.get("uses", "") for step in steps(workflow)]

    assert "pull_request_target" not in events
    assert "secrets." not in path.read_text("utf-8")
    if "pull_request" in events:
        assert not writes
    if "pull-requests" in writes:
        assert events == {"workflow_run"}
        assert not any(used.startswith("actions/checkout") for used in uses)
        assert not any("generator" in step.get("run", "") for step in steps(workflow))


@each
def test_no_text_of_an_event_is_put_into_a_script(path: Path) -> None:
    """An expression in a script would be run as part of it; values go in by the environment."""
    for step in steps(read(path)):
        assert "${{" not in step.get("run", ""), step


@each
def test_every_job_ends(path: Path) -> None:
    assert all(job["timeout-minutes"] <= 20 for job in read(path)["jobs"].values())


def test_the_comment_follows_the_run_that_makes_its_report() -> None:
    maker, teller = read(HOST / "workflows/pull-request.yml"), read(HOST / "workflows/impact-comment.yml")  # fmt: skip

    assert started_by(teller)["workflow_run"]["workflows"] == [maker["name"]]
    names = [step["with"]["name"] for step in (*steps(maker), *steps(teller)) if "artifact" in step.get("uses", "")]  # fmt: skip
    assert names == ["impact", "impact"]


@pytest.mark.parametrize("path", [form for form in FORMS if form.stem != "config"], ids=lambda p: p.stem)  # fmt: skip
def test_forms_are_whole(path: Path) -> None:
    """Name, description, and fields with an id and a label of their own each."""
    form = read(path)
    fields = [field for field in form["body"] if field["type"] != "markdown"]
    names = [field["id"] for field in fields]

    assert form["name"]
    assert form["description"]
    assert len(set(names)) == len(names) > 3
    assert all(field["attributes"]["label"] for field in fields)
    assert {field["type"] for field in fields} <= {"input", "textarea", "dropdown", "checkboxes"}
