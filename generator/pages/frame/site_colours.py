"""The site's colours by role, read from where they stand: `tokens.css`, the publication's own before ours."""

import re
from functools import cache
from pathlib import Path

from generator.pages.frame.templates import text_of
from generator.specs.program import TEMPLATES

_FILE = "styles/tokens.css"


Scheme = dict[str, str]
"""Role to `#rrggbb`."""


@cache
def schemes(root: Path) -> tuple[Scheme, Scheme]:
    """The light and the dark scheme. What the publication's own file does not give so stays as in ours."""
    light, dark = _read((TEMPLATES / _FILE).read_text("utf-8"))
    own = text_of(root, _FILE)
    if own is not None:
        light, dark = (
            ours | theirs for ours, theirs in zip((light, dark), _read(own), strict=True)
        )
    return light, dark


def _read(text: str) -> tuple[Scheme, Scheme]:
    found = [
        dict(re.findall(r"--([a-z0-9-]+):\s*(#[0-9a-f]{6});", block))
        for block in re.findall(r":root\s*\{(.*?)\}", text, re.DOTALL)
    ]
    light, dark = [*found, {}, {}][:2]
    return light, light | dark
