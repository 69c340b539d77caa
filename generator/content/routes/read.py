"""Routes: `content/routes/routes.yaml` and a profile beside it for each, CSV or GPX."""

from pathlib import Path
from typing import Any

from generator.content.files import LARGEST_TRACK, read_text
from generator.content.model import Route
from generator.content.records import one_default, read_checked, repeated_ids
from generator.content.routes.profile import SURFACES, Profile, read_profile
from generator.specs.problems import Problem
from generator.specs.quantity import parse
from generator.specs.yaml.files import name_in


def read_routes(root: Path) -> tuple[tuple[Route, ...], list[Problem]]:
    """Routes in the order of the file, and every problem."""
    folder = root / "content" / "routes"
    marked, problems = read_checked(folder / "routes.yaml", root, "routes")
    if marked is None:
        return (), problems
    problems += repeated_ids(marked, "routes") + one_default(marked, "routes")
    routes = []
    for index, entry in enumerate(marked.value["routes"]):
        path = folder / entry["file"]
        if not path.exists() and not path.is_symlink():
            what = f"there is no file {entry['file']} beside this one"
            mend = "Put it there, or write its right name"
            problems.append(marked.problem(("routes", index, "file"), what, mend))
            continue
        text, _, found = read_text(path, root, LARGEST_TRACK)
        profile = None
        if text is not None:
            profile, more = _profile(text, name_in(path, root), entry)
            found += more
        problems += found
        if profile:
            routes.append(_route(entry, profile))
    used = {entry["file"] for entry in marked.value["routes"]}
    return tuple(routes), problems + _unused(folder, root, used)


def _profile(text: str, file: str, entry: dict[str, Any]) -> tuple[Profile | None, list[Problem]]:
    if file.endswith(".csv"):
        return read_profile(text, file)
    from generator.content.routes.track import read_track

    stops = tuple(sorted(parse(str(stop), "length").value for stop in entry.get("stops", ())))
    return read_track(text, file, surface=entry.get("surface", SURFACES[0]), stops=stops)


def _route(entry: dict[str, Any], profile: Profile) -> Route:
    return Route(
        id=entry["id"],
        name=entry["name"],
        summary=entry["summary"],
        distance=profile.distance,
        elevation=profile.elevation,
        surface=profile.surface,
        stops=profile.stops,
        wind=parse(str(entry["wind"]), "speed").value,
        temperature=parse(str(entry["temperature"]), "temperature").value,
        source=entry.get("source", ""),
        default=entry.get("default", False),
    )


def _unused(folder: Path, root: Path, used: set[str]) -> list[Problem]:
    """A warning for each profile that no route names."""
    there = [path for ending in (".csv", ".gpx") for path in folder.glob(f"*{ending}")]
    what, mend = "no route uses this profile", "Name it in routes.yaml, or delete it"
    return [
        Problem(name_in(path, root), 0, 0, what, mend, "warning")
        for path in sorted(there)
        if path.name not in used and not path.name.startswith(".")
    ]
