"""Names and writes a new spec file.

* slug_of    `maker-name` in letters that an address can hold
* find_free_path  the path of a new file
* write_sketch      checks a sketch and writes it in one step, never over an existing file
"""

import os
from collections.abc import Mapping
from pathlib import Path

from generator.publish.build.new_file import put_new
from generator.publish.sketch.answers import Answers
from generator.publish.sketch.drawing import compose_sketch
from generator.specs.checks.cross_checks import find_contradictions
from generator.specs.problems import Problem, ProblemsFound
from generator.specs.read import FOLDER, LONGEST_SLUG, SLUG, check_file_name, find_bike_schema
from generator.specs.schema.validate import Schema, validate_mapping
from generator.specs.slugs import make_slug
from generator.specs.yaml.files import parse_mapping


def slug_of(maker: str, name: str) -> str:
    """A slug such as `pellimor-fenno`; accents are dropped. Empty if no letter is left."""
    return make_slug(f"{maker} {name}", LONGEST_SLUG)


def write_sketch(root: Path, answers: Answers, slug: str, flags: Mapping[str, str]) -> Path:
    """Write the sketch to `bikes/<slug>.yaml` and return its path.

    `flags` maps each dotted key of `answers.given` to the option that it came from.

    Raises
    ------
    ProblemsFound
        If the name is invalid or taken, or a given value is invalid. Nothing is written then.
    """
    path = find_free_path(root, slug)
    schema, problems = find_bike_schema(root)
    if schema is None:
        raise ProblemsFound(problems)
    text = compose_sketch(answers, schema, slug)
    if wrong := _find_errors(text, answers, schema, flags):
        raise ProblemsFound(wrong)
    _write_new_file(path, text, f"{FOLDER}/{slug}.yaml")
    return path


def find_free_path(root: Path, slug: str) -> Path:
    """The path of a new spec file. Raises ProblemsFound if it cannot be written there."""
    path, file = root / FOLDER / f"{slug}.yaml", f"{FOLDER}/{slug}.yaml"
    if not SLUG.fullmatch(slug):
        what = f"'{slug}' cannot be a file's name: small letters a to z, digits and single hyphens"
        mend = f"Say --slug {slug_of('', slug) or 'maker-model'}"
        raise ProblemsFound([Problem("--slug", 0, 0, what, mend)])
    if problems := check_file_name(path, file):
        raise ProblemsFound(problems)
    if not (root / FOLDER).is_dir():
        what = "there is no folder 'bikes' here"
        mend = "Go to the publication's folder, or name it with --root"
        raise ProblemsFound([Problem(FOLDER, 0, 0, what, mend)])
    if os.path.lexists(path):
        raise ProblemsFound([_report_taken(file)])
    return path


def _report_taken(file: str) -> Problem:
    """The problem that a file already exists."""
    mend = "Open that file, or give the new one another name with --slug"
    return Problem(file, 0, 0, "this file is there already, and is left as it is", mend)


def _find_errors(
    text: str, answers: Answers, schema: Schema, flags: Mapping[str, str]
) -> list[Problem]:
    """Errors caused by the given values, each under the option that the value came from."""
    marked, problems = parse_mapping(text, "sketch")
    if marked is None:
        return problems
    found = [*problems, *validate_mapping(marked, schema), *find_contradictions(marked)]
    errors = [problem for problem in found if problem.severity == "error"]
    lines = {}
    for key in answers.given:
        line, _ = marked.where(tuple(key.split(".")))
        lines[line] = flags.get(key, key)
    return [
        Problem(lines.get(problem.line, "sketch"), 0, 0, problem.what, problem.mend)
        for problem in errors
    ]


def _write_new_file(path: Path, text: str, file: str) -> None:
    """Write the whole file or nothing, and never over an existing file."""
    try:
        put_new(path, text.encode())
    except FileExistsError:
        raise ProblemsFound([_report_taken(file)]) from None
    except OSError as error:
        what = f"the file cannot be written: {error.strerror}"
        mend = "Check the rights of the folder bikes, and the space on the disk"
        raise ProblemsFound([Problem(file, 0, 0, what, mend)]) from None
