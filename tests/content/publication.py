"""A small, sound content folder, and ways to break it in one place."""

from pathlib import Path

from generator.content.read import read_content
from generator.specs.problems import Problem

FILES = {
    "site.yaml": """\
title: The Invented Book
tagline: Nothing here is real
address: https://book.example/
language: en-GB
region: EU
currency: EUR
electricity_price: 0.31
units: metric
notice: Everything is invented.
stale_price_days: 120
stale_source_days: 365
updated: 2026-11-25
""",
    "riders.yaml": """\
riders:
  - id: everyday
    name: the everyday rider
    mass: 75 kg
    load: 11 lb
    power: 80 W
    cadence: 70 rpm
    upper_cadence: 90 rpm
    default: true
  - {id: keen, name: the keen rider, mass: 85 kg, load: 8 kg, power: 140 W, cadence: 80 rpm,
     upper_cadence: 100 rpm}
""",
    "sources.yaml": """\
references:
  - id: made-up-2026
    citation: "A. Nobody, A book that is not there, 2026."
    read: memory
""",
    "routes/routes.yaml": """\
routes:
  - id: flat
    name: the quay
    file: flat.csv
    summary: Level.
    wind: 2 m/s
    temperature: 57.2 °F
    default: true
""",
    "routes/flat.csv": """\
distance_m,elevation_m,surface,stop
0,3,smooth,1
20,3.5,,0
40,4,gravel,
60,4,,yes
""",
    "guides/first-guide.md": """\
---
title: First guide
summary: What it says.
order: 2
checked: 2026-11-20
---

Body of the guide.
""",
    "glossary/cadence.md": """\
---
title: Cadence
summary: Turns of the crank in a minute.
unit: rpm
group: rider
see: [crank]
aliases: [pedalling rate]
---
Body.
""",
    "glossary/crank.md": """\
---
title: Crank
summary: What the pedals are on.
group: rider
---
Body.
""",
    "pages/about.md": "---\ntitle: About\nsummary: Who we are.\n---\nBody.\n",
    "changelog.md": "---\ntitle: Changes\nsummary: What changed.\n---\n## 2026-11\n",
}


def write_content(root: Path, **changes: str | None) -> Path:
    """Write a content folder under `root`; `changes` are files with another text, or None to leave them out."""
    for name, words in (FILES | changes).items():
        path = root / "content" / name
        if words is not None:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(words, "utf-8")
    return root


def find_problems_with(root: Path, name: str, words: str | None) -> list[Problem]:
    """Every problem of the folder with one file replaced, or left out."""
    return read_content(write_content(root, **{name: words}))[1]


def find_problems_after(root: Path, name: str, old: str, new: str) -> list[Problem]:
    """Every problem of the folder with `old` replaced by `new` in one file."""
    assert old in FILES[name]
    return find_problems_with(root, name, FILES[name].replace(old, new, 1))
