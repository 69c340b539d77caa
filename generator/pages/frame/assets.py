"""The style sheet and the scripts of the site, joined from the files of `templates/styles` and `templates/scripts`."""

from collections.abc import Iterator
from pathlib import Path, PurePath

from generator.pages.frame import urls
from generator.pages.frame.output import Output
from generator.pages.frame.templates import read_own_template
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
"""The script files of each bundle. Every page loads `site`; a page asks for others with `Page.scripts`."""


def outputs(root: Path) -> Iterator[Output]:
    """Yield the style sheet, the icon and each bundle of scripts."""
    yield Output(urls.STYLES, _join_files(root, "styles", [f"{name}.css" for name in STYLES]))
    yield Output(urls.ICON, _join_files(root, ".", ["icon.svg"]))
    for bundle, names in SCRIPTS.items():
        files = [f"{name}.js" for name in names]
        yield Output(urls.script(bundle), _join_files(root, "scripts", files))


def _join_files(root: Path, folder: str, names: list[str]) -> bytes:
    """Join files; a file that the publication brings replaces the program's of the same name."""
    parts = []
    for name in names:
        own = read_own_template(root, (PurePath(folder) / name).as_posix())
        parts.append((TEMPLATES / folder / name).read_text("utf-8") if own is None else own)
    return "\n".join(parts).encode()
