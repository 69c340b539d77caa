"""Files of `templates/` that a publication brings itself; each goes before the program's own of the same name.

* text_of     the text of one, or None
* loader      the same for Jinja; names are those of our own
* as_problem    a template that cannot be worked out is told with its line
"""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from traceback import extract_tb

from jinja2 import ChoiceLoader, FileSystemLoader, FunctionLoader, TemplateSyntaxError

from generator.specs.problems import Problem, ProblemsFound
from generator.specs.program import TEMPLATES
from generator.specs.yaml.files import decode, read_bytes

_FOLDER = "templates"


def text_of(root: Path, name: str) -> str | None:
    """The text of `templates/<name>`; None when the publication brings none.

    Raises
    ------
    ProblemsFound
        When it is a link that leads out of the folder, no plain file, too large, or no text.
    """
    path = root / _FOLDER / name
    if not os.path.lexists(path):
        return None
    file = f"{_FOLDER}/{name}"
    if _leaves(path, root):
        what = "the file lies outside the folder templates/, behind a link"
        raise ProblemsFound([Problem(file, 0, 0, what, "Put a copy of it into the folder")])
    raw, problems = read_bytes(path, file)
    text = None
    if raw is not None:
        text, problems = decode(raw, file)
    if text is None:
        raise ProblemsFound(problems)
    return text.replace("\r\n", "\n")


def loader(root: Path) -> ChoiceLoader:
    """Finds templates by their names, such as `pages/home.html`."""

    def found(name: str) -> tuple[str, str | None, Callable[[], bool] | None] | None:
        text = text_of(root, name)
        return None if text is None else (text, str(root / _FOLDER / name), None)

    return ChoiceLoader([FunctionLoader(found), FileSystemLoader(TEMPLATES)])


def names() -> list[str]:
    """Of the templates of pages and of their parts."""
    files = [*TEMPLATES.glob("pages/*.html"), *TEMPLATES.glob("parts/*.html")]
    return sorted(file.relative_to(TEMPLATES).as_posix() for file in files)


@contextmanager
def as_problem(root: Path) -> Iterator[None]:
    """A mistake in a template that the publication brought is told as one; any other goes on as it came."""
    try:
        yield
    except ProblemsFound:
        raise
    except Exception as error:
        place = _place(error, root)
        if place is None:
            raise
        what = f"the template cannot be worked out: {error}"
        mend = "Mend it, or delete it: the program's own is then used"
        raise ProblemsFound([Problem(*place, 0, what, mend)]) from error


def _leaves(path: Path, root: Path) -> bool:
    try:
        return not path.resolve().is_relative_to(root.resolve() / _FOLDER)
    except (OSError, RuntimeError, ValueError):  # a circle of links
        return True


def _place(error: Exception, root: Path) -> tuple[str, int] | None:
    """File and line of the innermost template on the way to an error, where the publication brought it."""
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
