"""Templates: a file in a publication's own `templates/` replaces the program's file of the same name.

* read_own_template       the text of a file that the publication brings, or None
* make_loader             the loader of all templates for Jinja
* list_template_names     the names of the program's page templates
* report_template_errors  reports an error in a template of the publication with its file and line
"""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from traceback import extract_tb

from jinja2 import ChoiceLoader, FileSystemLoader, FunctionLoader, TemplateSyntaxError

from generator.specs.problems import Problem, ProblemsFound
from generator.specs.program import TEMPLATES
from generator.specs.yaml.files import decode_text, read_bytes

_FOLDER = "templates"


def read_own_template(root: Path, name: str) -> str | None:
    """Return the text of the publication's `templates/<name>`; None when it brings no such file.

    Raises
    ------
    ProblemsFound
        When it is a link that leads out of the folder, not a plain file, too large, or not text.
    """
    path = root / _FOLDER / name
    if not os.path.lexists(path):
        return None
    file = f"{_FOLDER}/{name}"
    if _leads_outside(path, root):
        what = "the file lies outside the folder templates/, behind a link"
        raise ProblemsFound([Problem(file, 0, 0, what, "Put a copy of it into the folder")])
    raw, problems = read_bytes(path, file)
    text = None
    if raw is not None:
        text, problems = decode_text(raw, file)
    if text is None:
        raise ProblemsFound(problems)
    return text.replace("\r\n", "\n")


def make_loader(root: Path) -> ChoiceLoader:
    """Return a loader that finds templates by name, such as `pages/home.html`."""

    def load_own(name: str) -> tuple[str, str | None, Callable[[], bool] | None] | None:
        text = read_own_template(root, name)
        return None if text is None else (text, str(root / _FOLDER / name), None)

    return ChoiceLoader([FunctionLoader(load_own), FileSystemLoader(TEMPLATES)])


def list_template_names() -> list[str]:
    """Return the names of the program's templates of pages and parts, sorted."""
    files = [*TEMPLATES.glob("pages/*.html"), *TEMPLATES.glob("parts/*.html")]
    return sorted(file.relative_to(TEMPLATES).as_posix() for file in files)


@contextmanager
def report_template_errors(root: Path) -> Iterator[None]:
    """Turn an error in a template of the publication into a problem; let any other error pass."""
    try:
        yield
    except ProblemsFound:
        raise
    except Exception as error:
        place = _find_own_template(error, root)
        if place is None:
            raise
        what = f"the template cannot be worked out: {error}"
        mend = "Mend it, or delete it: the program's own is then used"
        raise ProblemsFound([Problem(*place, 0, what, mend)]) from error


def _leads_outside(path: Path, root: Path) -> bool:
    try:
        return not path.resolve().is_relative_to(root.resolve() / _FOLDER)
    except (OSError, RuntimeError, ValueError):  # a cycle of links
        return True


def _find_own_template(error: Exception, root: Path) -> tuple[str, int] | None:
    """Return file and line of the publication's innermost template in the traceback of an error; None without one."""
    folder = root / _FOLDER
    if folder.resolve() == TEMPLATES:
        return None
    places = [(frame.filename, frame.lineno or 0) for frame in extract_tb(error.__traceback__)]
    if isinstance(error, TemplateSyntaxError) and error.filename:
        places.append((error.filename, error.lineno))
    for file, line in reversed(places):
        if Path(file).is_relative_to(folder):
            return Path(file).relative_to(root).as_posix(), line
    return None
