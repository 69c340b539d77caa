"""Style sheet and script: budgets, layers, and colours that can be told apart.

Contrast: W3C, Web Content Accessibility Guidelines 2.2, definitions of relative luminance and contrast
ratio; success criteria 1.4.3 (text 4.5:1) and 1.4.11 (graphics 3:1).
"""

import gzip
import re
from pathlib import Path

import pytest

from generator.charts.drawing import theme
from generator.pages.frame import assets, urls
from tests.project import ROOT

STYLES = ROOT / "templates" / "styles"
CSS_LIMIT, SCRIPT_LIMIT = 8_000, 8_000
"""Size limits, compressed; house rules. [bytes]"""


def luminance(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def schemes() -> dict[str, dict[str, str]]:
    """Colours by role, of the light, the dark and the printed page."""
    blocks = re.findall(r":root \{(.*?)\}", (STYLES / "tokens.css").read_text("utf-8"), re.DOTALL)
    found = [dict(re.findall(r"--([a-z0-9-]+): (#[0-9a-f]{6});", block)) for block in blocks]
    return dict(zip(("light", "dark", "print"), found, strict=True))


def test_contrast_of_black_and_white() -> None:
    """WCAG 2.2: ratios range from 1 to 21."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("scheme", ["light", "dark", "print"])
def test_text_can_be_read(scheme: str) -> None:
    """Every text colour has enough contrast on every background that it is used on."""
    colours = schemes()[scheme]
    for role in ("ink", "muted", "link", "rubric"):
        for ground in ("paper", "wash"):
            assert contrast(colours[role], colours[ground]) >= 4.5, (role, ground)


@pytest.mark.parametrize("scheme", ["light", "dark", "print"])
def test_lines_and_bars_can_be_seen(scheme: str) -> None:
    colours = schemes()[scheme]
    for role in ("series-1", "series-2", "series-3", "series-4", "edge"):
        assert contrast(colours[role], colours["paper"]) >= 3.0, role


def test_every_drawn_colour_becomes_a_token() -> None:
    """Charts follow dark mode: each hex value of the theme has a rule for stroke or fill."""
    rules = (STYLES / "charts.css").read_text("utf-8")
    for colour in {theme.INK, theme.MUTED, theme.RULE, *theme.SERIES}:
        assert f'[stroke="{colour}"]' in rules, colour
    for colour in theme.SERIES:
        assert f'[fill="{colour}"]' in rules, colour


def test_raw_colours_stand_in_one_file() -> None:
    for path in STYLES.glob("*.css"):
        if path.name != "tokens.css":
            bare = re.sub(r'\[(?:fill|stroke)="#[0-9a-f]{6}"\]', "", path.read_text("utf-8"))

            assert not re.findall(r"#[0-9a-fA-F]{3,8}\b|rgba?\(|hsla?\(", bare), path.name


def test_everything_is_in_a_layer() -> None:
    """A rule outside of all layers would beat every layer."""
    for path in STYLES.glob("*.css"):
        text = re.sub(r"/\*.*?\*/", "", path.read_text("utf-8"), flags=re.DOTALL)
        while (inner := re.sub(r"\{[^{}]*\}", "", text)) != text:
            text = inner
        for statement in filter(None, map(str.strip, re.split(r"[;\n]", text))):
            assert statement.startswith("@layer "), (path.name, statement)
        assert "!important" not in path.read_text("utf-8"), path.name


def test_style_sheet_and_script_are_small() -> None:
    built = {out.path: out.data for out in assets.outputs(Path("nowhere"))}

    assert len(gzip.compress(built["assets/site.css"])) <= CSS_LIMIT
    for bundle in assets.SCRIPTS:
        assert len(gzip.compress(built[urls.script(bundle)])) <= SCRIPT_LIMIT, bundle


def test_every_file_of_the_folders_is_used() -> None:
    folder = STYLES.parent

    assert {path.stem for path in (folder / "styles").iterdir()} == set(assets.STYLES)
    assert {path.stem for path in (folder / "scripts").iterdir()} == {
        name for names in assets.SCRIPTS.values() for name in names
    }
