"""Routes: `content/routes/routes.yaml` and a profile beside it for each, CSV or GPX."""

from pathlib import Path
from typing import Any

from generator.content.files import LARGEST_TRACK, read_text
from generator.content.model import Route
from generator.content.records import check_one_default, find_repeated_ids, read_checked
from generator.content.routes.profile import SURFACES, Profile, read_profile
from generator.specs.problems import Problem
from generator.specs.quantity import parse_quantity
from generator.specs.yaml.files import format_path


def read_routes(root: Path) -> tuple[tuple[Route, ...], list[Problem]]:
    """Routes in the order of the file, and every problem."""
    folder = root / "content" / "routes"
    mapping, problems = read_checked(folder / "routes.yaml", root, "routes")
    if mapping is None:
        return (), problems
    problems += find_repeated_ids(mapping, "routes") + check_one_default(mapping, "routes")
    routes = []
    for index, entry in enumerate(mapping.value["routes"]):
        path = folder / entry["file"]
        if not path.exists() and not path.is_symlink():
            what = f"there is no file {entry['file']} beside this one"
            mend = "Put it there, or write its right name"
            problems.append(mapping.make_problem(("routes", index, "file"), what, mend))
            continue
        text, _, found = read_text(path, root, LARGEST_TRACK)
        profile = None
        if text is not None:
            profile, more = _read_route_profile(text, format_path(path, root), entry)
            found += more
        problems += found
        if profile:
            routes.append(_make_route(entry, profile))
    used = {entry["file"] for entry in mapping.value["routes"]}
    return tuple(routes), problems + _find_unused_profiles(folder, root, used)


def _read_route_profile(
    text: str, file: str, entry: dict[str, Any]
) -> tuple[Profile | None, list[Problem]]:
    if file.endswith(".csv"):
        return read_profile(text, file)
    from generator.content.routes.track import read_track

    stops = tuple(
        sorted(parse_quantity(str(stop), "length").value for stop in entry.get("stops", ()))
    )
    return read_track(text, file, surface=entry.get("surface", SURFACES[0]), stops=stops)


def _make_route(entry: dict[str, Any], profile: Profile) -> Route:
    return Route(
        id=entry["id"],
        name=entry["name"],
        summary=entry["summary"],
        distance=profile.distance,
        elevation=profile.elevation,
        surface=profile.surface,
        stops=profile.stops,
        wind=parse_quantity(str(entry["wind"]), "speed").value,
        temperature=parse_quantity(str(entry["temperature"]), "temperature").value,
        source=entry.get("source", ""),
        default=entry.get("default", False),
    )


def _find_unused_profiles(folder: Path, root: Path, used: set[str]) -> list[Problem]:
    """A warning for each profile that no route names."""
    there = [path for ending in (".csv", ".gpx") for path in folder.glob(f"*{ending}")]
    what, mend = "no route uses this profile", "Name it in routes.yaml, or delete it"
    return [
        Problem(format_path(path, root), 0, 0, what, mend, "warning")
        for path in sorted(there)
        if path.name not in used and not path.name.startswith(".")
    ]
