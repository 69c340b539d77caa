"""Templates that an earlier build compiled are used for the same text and program alone."""

from pathlib import Path

import jinja2
import pytest

from generator.pages.frame.renderer import environment
from generator.publish.cache.inputs import Inputs
from generator.publish.cache.store import Store
from generator.publish.cache.template_cache import TemplatesKept

KEY = b"k" * 32
INPUTS = Inputs("program", "content", "guides", {})
NAME = "pages/own.html"


class Build:
    """Prints the template of a publication, and counts what was compiled for it."""

    def __init__(self, root: Path, inputs: Inputs | None = INPUTS) -> None:
        self.compiled = 0
        kept = TemplatesKept(Store(root / "kept", KEY), inputs)
        pages = environment(root, kept)
        compile_whole = pages.compile

        def counting(*given, **more):
            self.compiled += 1
            return compile_whole(*given, **more)

        pages.compile = counting
        self.text = pages.get_template(NAME).render(name="<Ride>")
        kept.keep()


@pytest.fixture
def root(tmp_path: Path) -> Path:
    write(tmp_path, "Dear {{ name }}")
    return tmp_path


def write(root: Path, text: str) -> None:
    (root / "templates" / "pages").mkdir(parents=True, exist_ok=True)
    (root / "templates" / NAME).write_text(text)


def test_the_same_template_is_compiled_once(root: Path) -> None:
    builds = [Build(root) for _ in range(3)]

    assert [each.compiled for each in builds] == [1, 0, 0]
    assert {each.text for each in builds} == {"Dear &lt;Ride&gt;"}


def test_another_text_is_compiled_anew(root: Path) -> None:
    Build(root)
    write(root, "Good day, {{ name }}")
    found = Build(root)

    assert (found.compiled, found.text) == (1, "Good day, &lt;Ride&gt;")
    assert Build(root).compiled == 0


def test_another_program_compiles_anew(root: Path) -> None:
    Build(root)

    assert Build(root, Inputs("other program", "content", "guides", {})).compiled == 1


def test_where_the_program_is_not_known_nothing_is_kept(root: Path) -> None:
    assert [Build(root, None).compiled for _ in range(2)] == [1, 1]
    assert not (root / "kept").exists()


def test_what_is_no_bytecode_is_compiled_anew(root: Path) -> None:
    """As of another version of Python."""
    Build(root)
    store = Store(root / "kept", KEY)
    known = store.get("templates\nprogram")
    store.put("templates\nprogram", {name: b"other" for name in known})
    found = Build(root)

    assert (found.compiled, found.text) == (1, "Dear &lt;Ride&gt;")


def test_a_mistake_in_a_template_is_not_kept(root: Path) -> None:
    write(root, "Dear {{ name")
    for _ in range(2):
        with pytest.raises(jinja2.TemplateSyntaxError):
            Build(root)
