"""A small publication: two bikes of the demo, its riders and routes, and three short texts."""

import shutil
from pathlib import Path

import pytest

from tests.publish.processes import ROOT

GUIDE = """---
title: Two bikes
summary: What the two bikes of the test have in common.
---

The {{ bike("pellimor-fenno") }} goes {{ figure("pellimor-fenno", "range.rolling") }}.
"""

TERM = """---
title: Range
summary: How far one charge goes.
unit: km
group: battery
---

A number that needs a rider and a route.
"""

ABOUT = """---
title: About
summary: Who wrote this.
---

A test wrote this.
"""


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """The folder of the publication."""
    folder = tmp_path / "publication"
    for name in ("site.yaml", "riders.yaml", "sources.yaml", "routes"):
        source, target = ROOT / "content" / name, folder / "content" / name
        target.parent.mkdir(parents=True, exist_ok=True)
        (shutil.copytree if source.is_dir() else shutil.copy)(source, target)
    for name, text in {
        "guides/two.md": GUIDE,
        "glossary/range.md": TERM,
        "pages/about.md": ABOUT,
    }.items():
        path = folder / "content" / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, "utf-8")
    (folder / "bikes").mkdir()
    spec = (ROOT / "bikes" / "pellimor-fenno.yaml").read_text("utf-8")
    (folder / "bikes" / "pellimor-fenno.yaml").write_text(spec, "utf-8")
    second = spec.replace("name: Fenno", "name: Trial", 1)
    (folder / "bikes" / "pellimor-trial.yaml").write_text(second, "utf-8")
    return folder
