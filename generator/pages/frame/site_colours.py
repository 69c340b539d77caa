"""The site's colours by role, read from `tokens.css`: the publication's own values replace those of the program."""

import re
from functools import cache
from pathlib import Path

from generator.pages.frame.templates import read_own_template
from generator.specs.program import TEMPLATES

_FILE = "styles/tokens.css"


ColourScheme = dict[str, str]
"""Colours as `#rrggbb`, by role."""


@cache
def read_schemes(root: Path) -> tuple[ColourScheme, ColourScheme]:
    """Return the light and the dark scheme. A colour that the publication does not give as `#rrggbb` is the program's."""
    light, dark = _parse_schemes((TEMPLATES / _FILE).read_text("utf-8"))
    own = read_own_template(root, _FILE)
    if own is not None:
        light, dark = (
            ours | theirs for ours, theirs in zip((light, dark), _parse_schemes(own), strict=True)
        )
    return light, dark


def _parse_schemes(text: str) -> tuple[ColourScheme, ColourScheme]:
    found = [
        dict(re.findall(r"--([a-z0-9-]+):\s*(#[0-9a-f]{6});", block))
        for block in re.findall(r":root\s*\{(.*?)\}", text, re.DOTALL)
    ]
    light, dark = [*found, {}, {}][:2]
    return light, light | dark
