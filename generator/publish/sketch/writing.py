"""The name of a new spec file, and putting it there.

* slug_of    `maker-name` in letters that an address can hold
* write      a sketch, checked and written in one step; never over a file that is there
"""

import os
from collections.abc import Mapping
from pathlib import Path

from generator.publish.build.new_file import put_new
from generator.publish.sketch.answers import Answers
from generator.publish.sketch.drawing import sketch_text
from generator.specs.checks.cross_checks import cross_checks
from generator.specs.problems import Problem, ProblemsFound
from generator.specs.read import FOLDER, LONGEST_SLUG, SLUG, name_problems, own_schema
from generator.specs.schema.validate import Schema, validate
from generator.specs.slugs import plain
from generator.specs.yaml.files import parse_mapping


def slug_of(maker: str, name: str) -> str:
    """Such as `pellimor-fenno`; accents are left out. Empty when no letter is left."""
    return plain(f"{maker} {name}", LONGEST_SLUG)


def write(root: Path, answers: Answers, slug: str, flags: Mapping[str, str]) -> Path:
    """Write the sketch to `bikes/<slug>.yaml` and return its path.

    `flags` names the option that each dotted key of `answers.given` came from.

    Raises
    ------
    ProblemsFound
        When the name will not do or is taken, or a given value is refused; nothing is written.
    """
    path = free_path(root, slug)
    schema, problems = own_schema(root)
    if schema is None:
        raise ProblemsFound(problems)
    text = sketch_text(answers, schema, slug)
    if wrong := _wrong(text, answers, schema, flags):
        raise ProblemsFound(wrong)
    _put(path, text, f"{FOLDER}/{slug}.yaml")
    return path


def free_path(root: Path, slug: str) -> Path:
    """Where the file of this name goes. Raises ProblemsFound when it cannot go there."""
    path, file = root / FOLDER / f"{slug}.yaml", f"{FOLDER}/{slug}.yaml"
    if not SLUG.fullmatch(slug):
        what = f"'{slug}' cannot be a file's name: small letters a to z, digits and single hyphens"
        mend = f"Say --slug {slug_of('', slug) or 'maker-model'}"
        raise ProblemsFound([Problem("--slug", 0, 0, what, mend)])
    if problems := name_problems(path, file):
        raise ProblemsFound(problems)
    if not (root / FOLDER).is_dir():
        what = "there is no folder 'bikes' here"
        mend = "Go to the publication's folder, or name it with --root"
        raise ProblemsFound([Problem(FOLDER, 0, 0, what, mend)])
    if os.path.lexists(path):
        raise ProblemsFound([_taken(file)])
    return path


def _taken(file: str) -> Problem:
    mend = "Open that file, or give the new one another name with --slug"
    return Problem(file, 0, 0, "this file is there already, and is left as it is", mend)


def _wrong(text: str, answers: Answers, schema: Schema, flags: Mapping[str, str]) -> list[Problem]:
    """Errors that the given values make, each under the option that it came from."""
    marked, problems = parse_mapping(text, "sketch")
    if marked is None:
        return problems
    told = [*problems, *validate(marked, schema), *cross_checks(marked)]
    errors = [problem for problem in told if problem.severity == "error"]
    lines = {}
    for key in answers.given:
        line, _ = marked.where(tuple(key.split(".")))
        lines[line] = flags.get(key, key)
    return [
        Problem(lines.get(problem.line, "sketch"), 0, 0, problem.what, problem.mend)
        for problem in errors
    ]


def _put(path: Path, text: str, file: str) -> None:
    """The whole file or none, and never in the place of another."""
    try:
        put_new(path, text.encode())
    except FileExistsError:
        raise ProblemsFound([_taken(file)]) from None
    except OSError as error:
        what = f"the file cannot be written: {error.strerror}"
        mend = "Check the rights of the folder bikes, and the space on the disk"
        raise ProblemsFound([Problem(file, 0, 0, what, mend)]) from None
