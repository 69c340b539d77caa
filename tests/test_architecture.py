"""The house keeps its shape: floors, file sizes, folders. DEVELOPERS.md draws it."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.project import ROOT

PACKAGE = ROOT / "generator"

FLOORS = (
    ("specs",),
    ("compute", "content"),
    ("law",),
    ("figures",),
    ("pages", "charts", "handout"),
    ("publish",),
    ("cli", "__main__", "terminal"),
)
"""From the ground up. A room imports itself and the floors under it."""

NEIGHBOURS = {
    ("pages", "charts"),
    ("__main__", "cli"),
    ("cli", "terminal"),
    ("handout", "charts"),
    ("handout", "pages"),
}
"""Who may use whom on the same floor."""

PURE = (
    "numpy",
    "numba",
    "dataclasses",
    "datetime.date",
    "typing",
    "collections.abc",
    "contextlib",
    "functools",
    "math",
    "generator.compute",
)
"""All that `compute/` may import: arithmetic and itself."""

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "bikes",
    "content",
    "templates",
    "generator",
    "tests",
    "site",
}
LONGEST = 400
"""Lines of a file. Split at 300."""

MODULES = sorted(PACKAGE.rglob("*.py"))


def name_of(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def height_of(room: str) -> int:
    return next(height for height, rooms in enumerate(FLOORS) if room in rooms)


def imports(path: Path) -> Iterator[tuple[str, int]]:
    """Every module that a file names in an import, and the level of a relative one."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((alias.name, 0) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from ((f"{node.module or ''}.{alias.name}", node.level) for alias in node.names)


def rooms_used(path: Path) -> set[str]:
    names = (name.split(".") for name, _ in imports(path))
    return {parts[1] for parts in names if parts[0] == "generator" and len(parts) > 1}


def inside_rooms() -> list[Path]:
    return [path for path in MODULES if path != PACKAGE / "__init__.py"]


@pytest.mark.parametrize("path", inside_rooms(), ids=name_of)
def test_imports_go_down(path: Path) -> None:
    """No module imports from a floor above its own, nor from a strange neighbour."""
    room = room_of(path)

    for used in rooms_used(path) - {room}:
        assert height_of(used) < height_of(room) or (room, used) in NEIGHBOURS, used


@pytest.mark.parametrize("path", sorted((PACKAGE / "compute").rglob("*.py")), ids=name_of)
def test_compute_is_pure(path: Path) -> None:
    """compute/ reads no file and no clock, and knows no bike, no YAML and no page."""
    for name, _ in imports(path):
        assert name.startswith(PURE), name
    assert "today(" not in path.read_text("utf-8")


@pytest.mark.parametrize("path", inside_rooms(), ids=name_of)
def test_only_figures_call_compute(path: Path) -> None:
    """A number is computed in one place, so pages, charts and commands only ever read figures."""
    if room_of(path) not in ("compute", "figures"):
        assert "compute" not in rooms_used(path)


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_imports_are_absolute(path: Path) -> None:
    """An import says where its module stands."""
    assert not [name for name, level in imports(path) if level]


def test_files_are_short() -> None:
    """No file is too long to be taken in."""
    kinds = {".py", ".html", ".jinja", ".j2", ".css", ".js", ".xml", ".txt"}
    found = [
        path
        for folder in ("generator", "templates", "tests")
        for path in (ROOT / folder).rglob("*")
        if path.suffix in kinds and path.parent.name != "vendor"
    ]
    long = {str(path.relative_to(ROOT)): lines(path) for path in found if lines(path) > LONGEST}

    assert len(found) > 50
    assert not long


def lines(path: Path) -> int:
    return path.read_text("utf-8").count("\n")


def test_nothing_else_at_the_top() -> None:
    """The top level is the map that everybody knows; build leavings have names with a dot."""
    leavings = ("__pycache__", ".egg-info")
    there = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}

    assert {name for name in there if not name.endswith(leavings)} == TOP_LEVEL


def test_scripts_carry_no_physics() -> None:
    """A browser script looks up and interpolates in what compute/ made."""
    words = (
        "Math.sin",
        "Math.cos",
        "Math.tan",
        "Math.atan",
        "Math.pow",
        "Math.exp",
        "9.81",
        "9.80",
    )
    for path in (ROOT / "templates").rglob("*.js"):
        text = path.read_text("utf-8")

        assert not [word for word in words if word in text], path
