"""The house keeps its shape: floors, file sizes, folders. DEVELOPERS.md draws it."""

import ast
from collections.abc import Iterator
from pathlib import Path

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
MOST_MODULES = 20
"""Side by side in a folder."""
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


def test_imports_go_down() -> None:
    """No module imports from a floor above its own, nor from a strange neighbour."""
    wrong = [
        f"{name_of(path)} imports from {used}"
        for path in inside_rooms()
        for room in [room_of(path)]
        for used in rooms_used(path) - {room}
        if height_of(used) >= height_of(room) and (room, used) not in NEIGHBOURS
    ]

    assert len(MODULES) > 200
    assert wrong == []


def test_no_circle_of_imports() -> None:
    """No module needs itself on the way round through others, not even for its types or inside a function."""
    known = {f"generator.{name_of(path)[:-3].replace('/', '.')}": path for path in MODULES}
    needs = {
        module: {
            found
            for name, _ in imports(path)
            for found in (name, name.rpartition(".")[0])
            if found in known and found != module
        }
        for module, path in known.items()
    }
    for inverted in (
        False,
        True,
        False,
        True,
    ):  # take away what stands above all circles, and below
        while ends := {
            module
            for module, others in needs.items()
            if not (others & needs.keys() if not inverted else _users(module, needs))
        }:
            needs = {module: others for module, others in needs.items() if module not in ends}

    assert sorted(needs) == []


def _users(module: str, needs: dict[str, set[str]]) -> set[str]:
    return {other for other, others in needs.items() if module in others}


def test_compute_is_pure() -> None:
    """compute/ reads no file and no clock, and knows no bike, no YAML and no page."""
    for path in (PACKAGE / "compute").rglob("*.py"):
        strange = [name for name, _ in imports(path) if not name.startswith(PURE)]

        assert strange == [], name_of(path)
        assert "today(" not in path.read_text("utf-8"), name_of(path)


def test_only_figures_call_compute() -> None:
    """A number is computed in one place, so pages, charts and commands only ever read figures."""
    rooms = {room_of(path) for path in inside_rooms() if "compute" in rooms_used(path)}

    assert rooms <= {"compute", "figures"}


def test_imports_are_absolute() -> None:
    """An import says where its module stands."""
    assert [name_of(path) for path in MODULES if any(level for _, level in imports(path))] == []


def test_folders_are_small() -> None:
    """No folder holds so many modules side by side that nobody sees what belongs together."""
    found = {path.parent for path in MODULES}
    counts = {name_of(folder): len(list(folder.glob("[!_]*.py"))) for folder in found}

    assert {name: count for name, count in counts.items() if count > MOST_MODULES} == {}


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
