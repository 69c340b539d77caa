"""Helpers for the impact tests: copies and changes of a publication, and an independent computation of what moved."""

import hashlib
import shutil
from pathlib import Path

from generator.figures.model import Figure
from generator.publish.impact.compare import assess_impact
from generator.publish.impact.model import FigureMove, Impact
from generator.publish.trace import trace_figures

FENNO, TRIAL = "pellimor-fenno", "pellimor-trial"


def copy_of(root: Path) -> Path:
    """A second folder with the same publication: the state before."""
    return shutil.copytree(root, root.with_name("before"))


def rewrite(file: Path, *changes: tuple[str, str]) -> None:
    """Replace each first text by its second, once."""
    text = file.read_text("utf-8")
    for old, new in changes:
        assert text.count(old) >= 1, old
        text = text.replace(old, new, 1)
    file.write_text(text, "utf-8")


def spec(root: Path, slug: str = FENNO) -> Path:
    return root / "bikes" / f"{slug}.yaml"


def changed(root: Path, *changes: tuple[str, str], file: str = f"bikes/{FENNO}.yaml") -> Impact:
    """The impact of a change of one file."""
    before = copy_of(root)
    rewrite(root / file, *changes)
    return assess_impact(root, str(before))


def by_hand(before: Path, after: Path, slug: str) -> set[str]:
    """Ids of the figures of a bike that differ, with each state computed alone, as `trace` does."""
    old, new = (_figures(root, slug) for root in (before, after))
    return {id for id in {**old, **new} if _numbers(old.get(id)) != _numbers(new.get(id))}


_known: dict[tuple[str, str], dict[str, Figure]] = {}
"""Figures by slug and hash of all their inputs, since most tests start from the same publication."""


def _figures(root: Path, slug: str) -> dict[str, Figure]:
    digest = hashlib.sha256(spec(root, slug).read_bytes())
    for path in sorted((root / "content").rglob("*")):
        if path.is_file():
            digest.update(f"{path.relative_to(root)}\0".encode() + path.read_bytes())
    at = slug, digest.hexdigest()
    if at not in _known:
        _known[at] = {each.id: each for each, _ in trace_figures(root, slug)}
    return _known[at]


def _numbers(figure: Figure | None) -> tuple[float, float, float, str] | None:
    return (figure.value, figure.low, figure.high, figure.basis) if figure else None


def ids(moves: tuple[FigureMove, ...], slug: str = FENNO) -> set[str]:
    return {move.figure for move in moves if move.bike == slug}


def causes(report: Impact) -> set[str]:
    return {cause for move in report.moves for cause in move.why}
