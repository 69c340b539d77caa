"""A publication of any size on disk: the demo's texts, and bikes that vary the demo's, always the same for a number.

* write     the publication
"""

import re
import shutil
from pathlib import Path

import numpy as np

from tests.project import ROOT

VARIED = {
    r"^mass: (\S+) (kg|lb)": 0.12,
    r"^  list: (\S+) ": 0.25,
    r"^  torque: (\S+) ": 0.15,
    r"^  current_limit: (\S+) ": 0.1,
}
"""Lines of a spec file, and by which part each number in them is moved at most."""
OWN = re.compile(
    r"^(rides|tests|ridden|corrections|revisions|stated_by):.*\n(?:[ #-].*\n|\n)*", re.MULTILINE
)
"""What belongs to one bike alone."""


def write(root: Path, count: int, seed: int = 1) -> list[str]:
    """Write a publication of so many bikes; slugs of its bikes.

    The first bikes are the demo's, then come its variants, each of which differs from all others
    in mass, price, torque and current limit. Texts name bikes of the demo, so `count` is at least that.
    """
    shutil.copytree(ROOT / "content", root / "content")
    if count > len(list((ROOT / "bikes").glob("*.yaml"))):
        settings = (
            root / "content" / "site.yaml"
        )  # sentences about the demo's bikes stop being true
        text = settings.read_text("utf-8")
        settings.write_text(
            text.replace("untrue_sentences: stop", "untrue_sentences: leave out"), "utf-8"
        )
    (root / "bikes").mkdir()
    shutil.copy2(ROOT / "bikes" / "bike.schema.json", root / "bikes")
    demo = sorted((ROOT / "bikes").glob("*.yaml"))
    assert count >= len(demo), f"the demo alone has {len(demo)} bikes"
    random = np.random.default_rng(seed)
    slugs = []
    for number in range(count):
        path, turn = demo[number % len(demo)], number // len(demo)
        text = path.read_text("utf-8")
        slug = f"{path.stem}-v{turn}" if turn else path.stem
        (root / "bikes" / f"{slug}.yaml").write_text(varied(text, turn, random), "utf-8")
        slugs.append(slug)
    return sorted(slugs)


def varied(text: str, turn: int, random: np.random.Generator) -> str:
    """Another bike like it; the bike itself at turn 0."""
    if not turn:
        return text
    text = OWN.sub("", text)
    text = re.sub(
        r"^name: (.+?)\s*(#.*)?$", rf"name: \1 V{turn}", text, count=1, flags=re.MULTILINE
    )
    for pattern, part in VARIED.items():

        def moved(found: re.Match[str], part: float = part) -> str:
            number = float(found[1].replace(",", "")) * random.uniform(1 - part, 1 + part)
            return found[0].replace(found[1], f"{number:.4g}", 1)

        text = re.sub(pattern, moved, text, count=1, flags=re.MULTILINE)
    return text
