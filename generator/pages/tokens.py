"""The site's colours by role, read from where they stand: `tokens.css`, the publication's own before ours."""

import re
from functools import cache
from pathlib import Path

_OURS = Path(__file__).parents[2] / "templates"
_FILE = Path("styles", "tokens.css")


Scheme = dict[str, str]
"""Role to `#rrggbb`."""


@cache
def schemes(root: Path) -> tuple[Scheme, Scheme]:
    """The light and the dark scheme. What the publication's own file does not give so stays as in ours."""
    light, dark = _read(_OURS / _FILE)
    own = root / "templates" / _FILE
    if own.exists():
        light, dark = (
            ours | theirs for ours, theirs in zip((light, dark), _read(own), strict=True)
        )
    return light, dark


def _read(path: Path) -> tuple[Scheme, Scheme]:
    found = [
        dict(re.findall(r"--([a-z0-9-]+):\s*(#[0-9a-f]{6});", block))
        for block in re.findall(r":root\s*\{(.*?)\}", path.read_text("utf-8"), re.DOTALL)
    ]
    light, dark = [*found, {}, {}][:2]
    return light, light | dark
