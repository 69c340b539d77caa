"""Read spec files: bikes/<slug>.yaml → Bike.

* read_bike      one file
* read_bikes     all files of a publication, or some of them
* own_schema     the schema that they are checked by
* name_problems  whether a file's name will do

A file is safe YAML (`yaml_file`), fits the schema (`schema`), agrees with itself (`cross_checks`),
and is then built (`build_bike`). Every problem of a file is found in one run.
"""

import re
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path

from generator.specs.bike import Bike
from generator.specs.build_bike import build_bike
from generator.specs.checks.cross_checks import cross_checks
from generator.specs.problems import Problem
from generator.specs.schema.files import brought, generators, schema_of
from generator.specs.schema.validate import Schema, validate
from generator.specs.slugs import plain
from generator.specs.stated import Sheet
from generator.specs.yaml.files import name_in, read_mapping, read_text
from generator.specs.yaml.located import Marked
from generator.specs.yaml.lost_lines import at_margin

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
"""Names that Windows keeps for itself, so that a clone would fail there."""


Look = Callable[[Marked], list[Problem]]
"""A further check of a spec file; it sees files that have other problems too."""

Found = tuple[Bike | None, list[Problem]]
Mapper = Callable[[Callable[[Path], Found], Sequence[Path]], Iterable[Found]]
"""Like `map`."""


def read_bike(path: Path, root: Path, *looks: Look) -> tuple[Bike | None, list[Problem]]:
    """Read one spec file of the publication at `root`.

    Returns the bike, or None when there are errors; warnings come with a bike.
    """
    schema, problems = own_schema(root)
    if schema is None:
        return None, problems
    return _read(path, root, schema, (*_by_ours(root), *looks))


def read_bikes(
    root: Path,
    files: Sequence[Path] | None = None,
    *looks: Look,
    earlier: bool = False,
    mapper: Mapper = map,
) -> tuple[tuple[Bike, ...], list[Problem]]:
    """Read `files`, or every `bikes/*.yaml` of the publication; bikes are sorted by slug.

    `earlier`: a state of the past, which need only fit the schema that it had. `mapper` may share the files among
    processes, or know what a file holds already.
    """
    schema, problems = own_schema(root)
    if schema is None:
        return (), problems
    looks = looks if earlier else (*_by_ours(root), *looks)
    paths, problems = _listed(root) if files is None else (sorted(set(files)), [])
    problems += _collisions(paths, root)
    bikes = []
    read = partial(_read, root=root, schema=schema, looks=looks)
    for bike, found in mapper(read, paths):
        problems += found
        if bike is not None:
            bikes.append(bike)
    problems += _twins(bikes)
    return tuple(sorted(bikes, key=lambda bike: bike.slug)), sorted(problems)


def _read(
    path: Path, root: Path, schema: Schema, looks: Sequence[Look] = ()
) -> tuple[Bike | None, list[Problem]]:
    file = name_in(path, root)
    problems = name_problems(path, file)
    if problem := _leaves(path, root, file):
        return None, [*problems, problem]
    marked, found = read_mapping(path, root)
    if marked is None:
        outside = at_margin(read_text(path), schema, file)
        if outside and all(problem.line > outside.line for problem in found):
            found = [outside]  # the parser trips over the lines below it
        return None, sorted([*problems, *found])
    problems += found
    for find in (lambda sheet: validate(sheet, schema), cross_checks, *looks):
        told = {(problem.line, problem.column) for problem in problems}
        problems += [each for each in find(marked) if (each.line, each.column) not in told]
    problems = sorted(_inside(problems, path, schema, file))
    if any(problem.severity == "error" for problem in problems):
        return None, problems
    return build_bike(Sheet(marked), path.stem, file), problems


def _inside(problems: list[Problem], path: Path, schema: Schema, file: str) -> list[Problem]:
    """The problems, with better words for an unknown key that only lacks its indent."""
    if not any("there is no key" in problem.what for problem in problems):
        return problems
    outside = at_margin(read_text(path), schema, file)
    if outside is None:
        return problems
    lacking = f" has no {outside.what.split(' ')[0]}"  # the same slip, seen from its group
    kept = (each for each in problems if not each.what.endswith(lacking))
    return [outside, *(each for each in kept if each.line != outside.line)]


def own_schema(root: Path) -> tuple[Schema | None, list[Problem]]:
    """The publication's own schema, else the one that the generator came with."""
    return schema_of(root, SCHEMA)


def _by_ours(root: Path) -> tuple[Look, ...]:
    """A look that holds bikes to our schema too, where the publication brings one of its own.

    Its schema may ask for more, and never for less: what the readers and pages rely on stands in ours.
    """
    if not brought(root, SCHEMA):
        return ()
    ours = generators(SCHEMA)
    return (lambda marked: validate(marked, ours),)


def _listed(root: Path) -> tuple[list[Path], list[Problem]]:
    """The spec files of a publication, and problems with what else lies beside them."""
    folder = root / FOLDER
    try:
        entries = sorted(folder.iterdir())
    except OSError:
        return [], [Problem(FOLDER, 0, 0, "there is no folder 'bikes' here", "Check the folder")]
    problems = []
    for path in entries:
        if path.suffix.lower() in (".yml", ".yaml") and path.suffix != ".yaml":
            mend = f"Call it '{path.stem}.yaml'"
            file = name_in(path, root)
            problems.append(Problem(file, 0, 0, "the name does not end in .yaml", mend))
    paths = [path for path in entries if path.suffix == ".yaml"]
    if len(paths) > MOST_FILES:
        what = f"the folder holds more than {MOST_FILES:,} bikes"
        return [], [Problem(FOLDER, 0, 0, what, "Publish them in several places")]
    return paths, problems


def name_problems(path: Path, file: str) -> list[Problem]:
    """What is wrong with the name of a spec file, which becomes an address."""
    slug = path.stem
    if not SLUG.fullmatch(slug) or len(slug) > LONGEST_SLUG:
        better = plain(slug, LONGEST_SLUG)
        what = "the file's name becomes an address: small letters a to z, digits and single hyphens"
        return [Problem(file, 0, 0, what, f"Call it '{better or 'maker-model'}.yaml'")]
    if slug in RESERVED:
        what = f"Windows keeps the name '{slug}' for itself"
        return [Problem(file, 0, 0, what, "Call the file maker-model.yaml")]
    return []


def _leaves(path: Path, root: Path, file: str) -> Problem | None:
    """A link that leads out of the publication's folder of bikes."""
    try:
        real, folder = path.resolve(), (root / FOLDER).resolve()
        outside = path.is_symlink() and not real.is_relative_to(folder)
    except (OSError, RuntimeError, ValueError):
        outside = True
    if not outside:
        return None
    mend = "Put the file itself into the folder bikes"
    return Problem(file, 0, 0, "the file is a link that leads out of the folder bikes", mend)


def _collisions(paths: Sequence[Path], root: Path) -> list[Problem]:
    """Names that are one and the same on Windows and macOS."""
    first: dict[str, Path] = {}
    problems = []
    for path in paths:
        before = first.setdefault(path.stem.casefold(), path)
        if before != path:
            what = f"the name differs from '{before.name}' in its capital letters only"
            problems.append(Problem(name_in(path, root), 0, 0, what, "Give it a name of its own"))
    return problems


def _twins(bikes: Sequence[Bike]) -> list[Problem]:
    """Files that describe one and the same bike: same maker, name and year."""
    first: dict[tuple[str, str, int], Bike] = {}
    problems = []
    for bike in bikes:
        before = first.setdefault(identity(bike), bike)
        if before is not bike:
            problems.append(twin(bike, before))
    return problems


def twin(bike: Bike, other: Bike) -> Problem:
    """The warning that two files describe one bike."""
    what = f"'{bike.full_name}' of {bike.year} is described in {other.file} too"
    mend = f"Delete one of the two files, or correct the name or the year in {bike.file}"
    return Problem(bike.file, 0, 0, what, mend, "warning")


def identity(bike: Bike) -> tuple[str, str, int]:
    """What two files of one and the same bike have in common."""
    return plain_words(bike.maker), plain_words(bike.name), bike.year


def plain_words(words: str) -> str:
    return " ".join(words.casefold().split())
