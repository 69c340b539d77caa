"""Read spec files: bikes/<slug>.yaml → Bike.

* read_bike            reads one file
* read_bikes           reads all files of a publication, or some of them
* find_bike_schema     the schema that spec files are checked by
* check_file_name      problems with the name of a spec file
* make_twin_problem    the warning that two files describe one bike
* identify_bike        the maker, name and year that identify a bike

A file must be safe YAML (`yaml`), fit the schema (`schema`) and not contradict itself (`checks`);
then its Bike is built (`build_bike`). Every problem of a file is found in one run.
"""

import re
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path

from generator.specs.bike import Bike
from generator.specs.build_bike import build_bike
from generator.specs.checks.cross_checks import find_contradictions
from generator.specs.problems import Problem
from generator.specs.schema.files import find_schema, has_own_schema, read_generator_schema
from generator.specs.schema.validate import Schema, validate_mapping
from generator.specs.slugs import make_slug
from generator.specs.stated import CheckedSpec
from generator.specs.yaml.files import format_path, read_mapping, read_text
from generator.specs.yaml.located import LocatedMapping
from generator.specs.yaml.lost_lines import find_line_at_margin

FOLDER = "bikes"
SCHEMA = "bikes/bike.schema.json"
SLUG = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
LONGEST_SLUG = 60
MOST_FILES = 5000
"""Spec files of one publication."""
RESERVED = {
    "con",
    "prn",
    "aux",
    "nul",
    *(f"{port}{n}" for port in ("com", "lpt") for n in "123456789"),
}
"""Names that Windows reserves, so that a clone would fail there."""


SpecCheck = Callable[[LocatedMapping], list[Problem]]
"""A further check of a spec file, also run on files that have other problems."""

BikeResult = tuple[Bike | None, list[Problem]]
"""A spec file's bike, or None when it has errors, and its problems."""
Mapper = Callable[[Callable[[Path], BikeResult], Sequence[Path]], Iterable[BikeResult]]
"""A function that applies another to each path in turn, as `map` does."""


def read_bike(path: Path, root: Path, *checks: SpecCheck) -> tuple[Bike | None, list[Problem]]:
    """Read one spec file of the publication at `root`.

    Returns the bike, or None when there are errors; warnings come with a bike.
    """
    schema, problems = find_bike_schema(root)
    if schema is None:
        return None, problems
    return _read_spec(path, root, schema, (*_list_generator_checks(root), *checks))


def read_bikes(
    root: Path,
    files: Sequence[Path] | None = None,
    *checks: SpecCheck,
    earlier: bool = False,
    mapper: Mapper = map,
) -> tuple[tuple[Bike, ...], list[Problem]]:
    """Read `files`, or every `bikes/*.yaml` of the publication; bikes are sorted by slug.

    `earlier` marks a past state, which need only fit the schema that it had. `mapper` may share the files among
    processes, or return bikes that are already known.
    """
    schema, problems = find_bike_schema(root)
    if schema is None:
        return (), problems
    checks = checks if earlier else (*_list_generator_checks(root), *checks)
    paths, problems = _list_spec_files(root) if files is None else (sorted(set(files)), [])
    problems += _find_name_collisions(paths, root)
    bikes = []
    read = partial(_read_spec, root=root, schema=schema, checks=checks)
    for bike, found in mapper(read, paths):
        problems += found
        if bike is not None:
            bikes.append(bike)
    problems += _find_twins(bikes)
    return tuple(sorted(bikes, key=lambda bike: bike.slug)), sorted(problems)


def _read_spec(
    path: Path, root: Path, schema: Schema, checks: Sequence[SpecCheck] = ()
) -> tuple[Bike | None, list[Problem]]:
    file = format_path(path, root)
    problems = check_file_name(path, file)
    if problem := _check_link(path, root, file):
        return None, [*problems, problem]
    mapping, found = read_mapping(path, root)
    if mapping is None:
        outside = find_line_at_margin(read_text(path), schema, file)
        if outside and all(problem.line > outside.line for problem in found):
            found = [outside]  # the parser stumbles over the lines below it
        return None, sorted([*problems, *found])
    problems += found
    for find in (lambda mapping: validate_mapping(mapping, schema), find_contradictions, *checks):
        reported = {(problem.line, problem.column) for problem in problems}
        problems += [each for each in find(mapping) if (each.line, each.column) not in reported]
    problems = sorted(_explain_lost_indent(problems, path, schema, file))
    if any(problem.severity == "error" for problem in problems):
        return None, problems
    return build_bike(CheckedSpec(mapping), path.stem, file), problems


def _explain_lost_indent(
    problems: list[Problem], path: Path, schema: Schema, file: str
) -> list[Problem]:
    """The problems, with a better explanation of an unknown key that only lacks its indent."""
    if not any("there is no key" in problem.what for problem in problems):
        return problems
    outside = find_line_at_margin(read_text(path), schema, file)
    if outside is None:
        return problems
    lacking = f" has no {outside.what.split(' ')[0]}"  # the same mistake, reported of its group
    kept = (each for each in problems if not each.what.endswith(lacking))
    return [outside, *(each for each in kept if each.line != outside.line)]


def find_bike_schema(root: Path) -> tuple[Schema | None, list[Problem]]:
    """The publication's schema of spec files, else the generator's."""
    return find_schema(root, SCHEMA)


def _list_generator_checks(root: Path) -> tuple[SpecCheck, ...]:
    """A check by the generator's schema, for a publication that has its own.

    A publication's schema may ask for more, never for less: readers and pages rely on the generator's.
    """
    if not has_own_schema(root, SCHEMA):
        return ()
    ours = read_generator_schema(SCHEMA)
    return (lambda mapping: validate_mapping(mapping, ours),)


def _list_spec_files(root: Path) -> tuple[list[Path], list[Problem]]:
    """The spec files of a publication, and problems with other files in the folder."""
    folder = root / FOLDER
    try:
        entries = sorted(folder.iterdir())
    except OSError:
        return [], [Problem(FOLDER, 0, 0, "there is no folder 'bikes' here", "Check the folder")]
    problems = []
    for path in entries:
        if path.suffix.lower() in (".yml", ".yaml") and path.suffix != ".yaml":
            mend = f"Call it '{path.stem}.yaml'"
            file = format_path(path, root)
            problems.append(Problem(file, 0, 0, "the name does not end in .yaml", mend))
    paths = [path for path in entries if path.suffix == ".yaml"]
    if len(paths) > MOST_FILES:
        what = f"the folder holds more than {MOST_FILES:,} bikes"
        return [], [Problem(FOLDER, 0, 0, what, "Publish them in several places")]
    return paths, problems


def check_file_name(path: Path, file: str) -> list[Problem]:
    """Problems with the name of a spec file, which becomes an address."""
    slug = path.stem
    if not SLUG.fullmatch(slug) or len(slug) > LONGEST_SLUG:
        better = make_slug(slug, LONGEST_SLUG)
        what = "the file's name becomes an address: small letters a to z, digits and single hyphens"
        return [Problem(file, 0, 0, what, f"Call it '{better or 'maker-model'}.yaml'")]
    if slug in RESERVED:
        what = f"Windows keeps the name '{slug}' for itself"
        return [Problem(file, 0, 0, what, "Call the file maker-model.yaml")]
    return []


def _check_link(path: Path, root: Path, file: str) -> Problem | None:
    """The problem of a link that leads out of the publication's folder of bikes."""
    try:
        real, folder = path.resolve(), (root / FOLDER).resolve()
        outside = path.is_symlink() and not real.is_relative_to(folder)
    except (OSError, RuntimeError, ValueError):
        outside = True
    if not outside:
        return None
    mend = "Put the file itself into the folder bikes"
    return Problem(file, 0, 0, "the file is a link that leads out of the folder bikes", mend)


def _find_name_collisions(paths: Sequence[Path], root: Path) -> list[Problem]:
    """Problems of file names that are the same on Windows and macOS."""
    first: dict[str, Path] = {}
    problems = []
    for path in paths:
        before = first.setdefault(path.stem.casefold(), path)
        if before != path:
            what = f"the name differs from '{before.name}' in its capital letters only"
            problems.append(
                Problem(format_path(path, root), 0, 0, what, "Give it a name of its own")
            )
    return problems


def _find_twins(bikes: Sequence[Bike]) -> list[Problem]:
    """A warning for each file that describes the same bike as an earlier one: same maker, name and year."""
    first: dict[tuple[str, str, int], Bike] = {}
    problems = []
    for bike in bikes:
        before = first.setdefault(identify_bike(bike), bike)
        if before is not bike:
            problems.append(make_twin_problem(bike, before))
    return problems


def make_twin_problem(bike: Bike, other: Bike) -> Problem:
    """The warning that two files describe one bike."""
    what = f"'{bike.full_name}' of {bike.year} is described in {other.file} too"
    mend = f"Delete one of the two files, or correct the name or the year in {bike.file}"
    return Problem(bike.file, 0, 0, what, mend, "warning")


def identify_bike(bike: Bike) -> tuple[str, str, int]:
    """Maker, name and year, which two files that describe one bike have in common."""
    return normalize_text(bike.maker), normalize_text(bike.name), bike.year


def normalize_text(words: str) -> str:
    """A text in lower case, without doubled spaces."""
    return " ".join(words.casefold().split())
