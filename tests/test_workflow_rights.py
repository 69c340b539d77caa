"""What a stranger's pull request can reach on the code host: no secret, no right to write, no script of another.

The rules are those of GitHub's "Secure use reference" and of GitHub Security Lab, "Keeping your GitHub Actions and
workflows secure": parts 1 (pwn requests), 2 (untrusted input) and 3 (trusting building blocks). The scripts of the
comment run here as they stand, with a `gh` that only notes what it is asked.
"""

import os
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.project import ROOT

WORKFLOWS = sorted((ROOT / ".github" / "workflows").glob("*.yml"))
READ = {path.stem: yaml.safe_load(path.read_text("utf-8")) for path in WORKFLOWS}
each = pytest.mark.parametrize("name", sorted(READ))

WRITES = {
    ("impact-comment", "comment"): {"pull-requests"},
    ("publish", "deploy"): {"pages", "id-token"},
}
"""Every right to write that there is."""

HARMLESS = {
    "github.event.pull_request.base.sha",
    "github.event.pull_request.number",
    "github.event.workflow_run.head_sha",
    "github.event.workflow_run.id",
    "github.sha",
    "github.token",
    "runner.temp",
    "steps.deployment.outputs.page_url",
}
"""Expressions whose value is a number, a hash or the host's own: never a title, a branch name or a path that a stranger
chooses (CWE-94)."""


def jobs() -> Iterator[tuple[str, str, dict[str, Any]]]:
    for name, workflow in READ.items():
        for job, held in workflow["jobs"].items():
            yield name, job, held


def steps(name: str) -> list[dict[str, Any]]:
    return [step for job in READ[name]["jobs"].values() for step in job["steps"]]


def events(name: str) -> set[str]:
    """What starts it. YAML 1.1 takes the key `on` for true."""
    return set(READ[name][True])


@each
def test_actions_are_named_by_commit(name: str) -> None:
    """A tag can be moved to other code by whoever gets at the action (CWE-829); its version stands behind, for people."""
    text = next(path for path in WORKFLOWS if path.stem == name).read_text("utf-8")
    used = re.findall(r"uses: (.+)", text)

    assert len(used) == len([step for step in steps(name) if "uses" in step]) > 0
    for line in used:
        assert re.fullmatch(r"actions/[a-z-]+@[0-9a-f]{40} # v\d+\.\d+\.\d+", line), line


def test_one_action_has_one_commit() -> None:
    found = {step["uses"] for name in READ for step in steps(name) if "uses" in step}

    assert len({used.partition("@")[0] for used in found}) == len(found) > 5


@each
def test_the_token_reads_unless_a_job_asks(name: str) -> None:
    """Without this key it has whatever the repository's settings give."""
    assert READ[name]["permissions"] in ({}, {"contents": "read"})


def test_who_may_write() -> None:
    """Two jobs, and neither checks out, installs or starts anything of the repository."""
    found = {}
    for name, job, held in jobs():
        rights = held.get("permissions", {})
        assert set(rights.values()) <= {"read", "write"}, (name, job)
        if writes := {right for right, level in rights.items() if level == "write"}:
            found[name, job] = writes
            said = yaml.safe_dump(held["steps"])
            for word in ("checkout", "pip install", "python", ".ci", "generator", "actions/cache"):
                assert word not in said, (name, job, word)

    assert found == WRITES


@each
def test_nothing_a_stranger_writes_is_put_into_a_workflow(name: str) -> None:
    path = next(path for path in WORKFLOWS if path.stem == name)
    used = re.findall(r"\$\{\{\s*(.*?)\s*\}\}", path.read_text("utf-8"))

    assert set(used) <= HARMLESS
    for step in steps(name):
        assert "${{" not in step.get("run", ""), step


def test_no_job_asks_by_an_expression_that_a_stranger_can_turn() -> None:
    """Conditions stand without `${{`, so they are listed here."""
    asked = [held.get("if") for *_, held in jobs()]
    asked += [step.get("if") for name in READ for step in steps(name)]

    assert set(asked) == {
        None,
        "always()",
        "github.ref == 'refs/heads/main'",
        "github.event.workflow_run.event == 'pull_request'",
    }


def test_what_runs_a_change_leaves_nothing_behind() -> None:
    """No cache, which another run could take up; no environment, which may hold secrets; no machine that stays."""
    strangers = [name for name in READ if "pull_request" in events(name)]

    assert strangers == ["pull-request"]
    for name in strangers:
        assert not any("actions/cache" in step.get("uses", "") for step in steps(name))
        assert not any("cache" in step.get("with", {}) for step in steps(name))
        assert not any("environment" in held for of, _, held in jobs() if of == name)
    assert {held["runs-on"] for *_, held in jobs()} == {"ubuntu-latest"}
    assert not {"pull_request_target", "issue_comment", "issues"} & {
        event for name in READ for event in events(name)
    }


@each
def test_a_checkout_keeps_no_token_and_takes_what_the_event_gives(name: str) -> None:
    for step in steps(name):
        if "actions/checkout" in step.get("uses", ""):
            assert step["with"]["persist-credentials"] is False
            assert not {"ref", "repository", "token"} & set(step["with"])


def test_only_the_main_branch_is_published() -> None:
    assert READ["publish"][True]["push"] == {"branches": ["main"]}
    assert READ["publish"]["jobs"]["deploy"]["if"] == "github.ref == 'refs/heads/main'"


@each
def test_packages_come_from_the_lock(name: str) -> None:
    """pip asks no index: it takes what `.ci/wheels` fetched and checked."""
    lines = [line for step in steps(name) for line in step.get("run", "").splitlines()]
    installs = [line for line in lines if "pip install" in line]

    assert bool(installs) == (name != "impact-comment")
    for line in installs:
        assert "--no-index --find-links" in line
    assert sum(".ci/wheels run" in line for line in lines) == len(installs)


def script(name: str) -> dict[str, Any]:
    return next(step for step in steps("impact-comment") if step.get("name") == name)


def run(folder: Path, name: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """A script of the comment's job, as the host runs it: bash -e."""
    return subprocess.run(
        ["bash", "-e", "-c", script(name)["run"]],
        env=os.environ | {"RUNNER_TEMP": str(folder)} | environment,
        text=True,
        capture_output=True,
        check=False,
    )


@pytest.fixture
def report(tmp_path: Path) -> Path:
    (tmp_path / "report").mkdir()
    return tmp_path / "report" / "impact.md"


def test_no_token_is_in_reach_of_the_artefact() -> None:
    held = READ["impact-comment"]["jobs"]["comment"]

    assert "env" not in held
    assert "env" not in READ["impact-comment"]
    assert "env" not in script("Take the text")
    assert "report/" not in script("Comment")["run"]


@pytest.mark.parametrize(
    "data",
    [
        b"# Fine\n\nRange moves by 2 km.\n",
        b"Ask @everyone and @org/team.\n",
        b"\xff\xfe no text \x00 at all \xc3",
        ("é" * 59_999).encode(),
        b"@" * 70_000,
        b"",
    ],
    ids=["fine", "calls", "binary", "cut within a letter", "grows", "empty"],
)
def test_any_report_becomes_a_comment_that_fits(report: Path, data: bytes) -> None:
    """UTF-8, at most 65,536 signs (the host's limit, from memory), calling nobody, under our mark."""
    report.write_bytes(data)
    ended = run(report.parents[1], "Take the text")
    body = (report.parents[1] / "body.md").read_bytes()

    assert ended.returncode == 0, ended.stderr
    assert body.startswith(b"<!-- impact report -->\n")
    assert len(body.decode("utf-8")) <= 65_536
    assert b"@" not in body
    assert b"\x00" not in body
    if data.startswith(b"# Fine"):
        assert body.endswith(data)


@pytest.mark.parametrize("kind", ["link", "folder", "missing"])
def test_a_report_that_leads_elsewhere_is_refused(report: Path, kind: str) -> None:
    """CWE-59: the text of the file behind the link would become public."""
    secret = report.parents[1] / "secret"
    secret.write_text("hidden")
    if kind == "link":
        report.symlink_to(secret)
    elif kind == "folder":
        report.mkdir()
    ended = run(report.parents[1], "Take the text")

    assert ended.returncode == 1
    assert "no plain file" in ended.stdout
    assert not (report.parents[1] / "body.md").exists()


GH = """#!/bin/sh
echo "$@" >> "$RUNNER_TEMP/asked"
case "$*" in
  *pulls*) printf '%s' "$PULLS" ;;
  *--paginate*) printf '%s' "$COMMENTS" ;;
esac
"""


@pytest.mark.parametrize(
    ("pulls", "comments", "last"),
    [
        ("", "", "pulls?state=open"),
        ("7\n9\n", "", "repos/o/r/issues/7/comments -F body=@body.md"),
        ("7\n", "41\n42\n", "repos/o/r/issues/comments/41 -X PATCH -F body=@body.md"),
    ],
    ids=["closed", "first", "again"],
)
def test_there_is_one_comment(tmp_path: Path, pulls: str, comments: str, last: str) -> None:
    """None on a pull request that is closed, one on an open one, and that one is kept up to date."""
    (tmp_path / "gh").write_text(GH)
    (tmp_path / "gh").chmod(0o755)
    path = f"{tmp_path}:{os.environ['PATH']}"
    ended = run(
        tmp_path,
        "Comment",
        PATH=path,
        PULLS=pulls,
        COMMENTS=comments,
        HEAD="a" * 40,
        GITHUB_REPOSITORY="o/r",
    )
    asked = (tmp_path / "asked").read_text().splitlines()

    assert ended.returncode == 0, ended.stderr
    assert last in asked[-1]
    assert sum("body=" in line for line in asked) == (1 if pulls else 0)
