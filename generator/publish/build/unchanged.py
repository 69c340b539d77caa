"""Has anything changed since the site in a folder was built? Answered in a fraction of a second, so nothing heavy is imported.

What a site depends on is hashed whole (`inputs`). Of the site itself names, sizes and times are looked at, as `make`
and git do. Where anything is in doubt, the answer is that something has changed.

* remember   note what was built from them
* kept       the summary of a site that still stands as it was built, or None
"""

import json
import os
import stat
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import asdict, fields, replace
from pathlib import Path
from typing import Any

from generator.publish.build.paths import MANIFEST, States, state
from generator.publish.build.summary import Summary
from generator.publish.cache import sealed
from generator.publish.cache.committed import FOLDER, brought_along, kept_of
from generator.publish.cache.inputs import Inputs
from generator.specs.problems import Problem


def remember(root: Path, out: Path, given: Inputs | None, summary: Summary, states: States) -> None:
    """Note that the site in `out` was built from these inputs; `states` are those of its files, the manifest among them.

    What cannot be noted costs time and nothing else.
    """
    if given is None or brought_along(root, FOLDER):
        return
    with suppress(OSError):
        body = {"inputs": given.whole, "summary": asdict(summary), "site": states}
        path = _note(root, out)
        sealed.keep(path, path.name, json.dumps(body).encode())


def kept(root: Path, out: Path, given: Inputs | None) -> Summary | None:
    """The summary of the site in `out`, if it was built from these inputs and stands as it was built."""
    path = _note(root, out)
    if given is None or not path.is_file() or brought_along(root, FOLDER):
        return None
    text = sealed.kept(path, path.name)
    if text is None:
        return None
    try:
        body = json.loads(text)
        if body["inputs"] != given.whole or body["site"] != states_in(out):
            return None
        summary = _summary(body["summary"])
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    return replace(summary, kept=True)


def _note(root: Path, out: Path) -> Path:
    """Where the build of a folder is noted."""
    return kept_of(root, "builds", out).with_suffix(".json")


def states_in(out: Path) -> States:
    """Of the site that stands there; what belongs to others is left out."""
    found, site = {}, os.fspath(out)
    for name in (MANIFEST, *json.loads((out / MANIFEST).read_text("utf-8"))):
        now = os.stat(f"{site}/{name}", follow_symlinks=False)
        if not stat.S_ISREG(now.st_mode):
            raise ValueError(f"{name} is no file")
        found[name] = state(now)
    return found


def _summary(given: Mapping[str, Any]) -> Summary:
    """As it was noted; of that build's changes nothing is left to tell."""
    known = {each.name for each in fields(Summary)} - {"changes", "warnings"}
    warnings = tuple(Problem(**each) for each in given["warnings"])
    return Summary(**{name: given[name] for name in known}, warnings=warnings)
