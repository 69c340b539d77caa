"""The style sheet and the scripts: the files of `templates/styles` and `templates/scripts`, put together."""

from collections.abc import Iterator
from pathlib import Path, PurePath

from generator.pages.frame import urls
from generator.pages.frame.output import Output
from generator.pages.frame.templates import text_of
from generator.specs.program import TEMPLATES

STYLES = (
    "layers",
    "tokens",
    "base",
    "frame",
    "parts",
    "forms",
    "numbers",
    "charts",
    "terms",
    "bike",
    "choose",
    "tables",
    "print",
)
SCRIPTS: dict[str, tuple[str, ...]] = {
    "site": ("load", "units", "numbers", "sort", "open", "terms"),
    "charts": ("chart",),
    "explore": ("chart_rows", "chart_fill", "chart_explore"),
    "choose": ("choose_rank", "choose_words", "choose"),
    "compare": ("cell", "verdict", "compare"),
    "filter": ("cell", "filter_rows", "filter_address", "filter_table", "pick", "filter"),
    "search": ("search",),
    "form": ("form_yaml", "form_check"),
    "contribute": ("form_fields", "form"),
    "ride": ("ride_table", "ride"),
}
"""Bundle to its files. Every page loads `site`; a page asks for others with `Page.scripts`."""


def outputs(root: Path) -> Iterator[Output]:
    yield Output(urls.STYLES, _joined(root, "styles", [f"{name}.css" for name in STYLES]))
    yield Output(urls.ICON, _joined(root, ".", ["icon.svg"]))
    for bundle, names in SCRIPTS.items():
        files = [f"{name}.js" for name in names]
        yield Output(urls.script(bundle), _joined(root, "scripts", files))


def _joined(root: Path, folder: str, names: list[str]) -> bytes:
    """The files one after another; a publication's own file goes before ours of the same name."""
    parts = []
    for name in names:
        own = text_of(root, (PurePath(folder) / name).as_posix())
        parts.append((TEMPLATES / folder / name).read_text("utf-8") if own is None else own)
    return "\n".join(parts).encode()
