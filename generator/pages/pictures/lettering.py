"""Text in pictures: its typefaces, its width, and how it is wrapped and cut.

Fonts come with the templates and are set by Pillow's basic layout, so a line looks the same on every machine.
"""

import math
import re
from collections.abc import Sequence
from functools import cache, lru_cache
from pathlib import Path
from typing import Literal

from PIL import ImageFont

from generator.specs import program

Face = Literal["serif", "plain"]

FONTS = program.TEMPLATES / "vendor"
FILES: dict[Face, Path] = {
    "serif": FONTS / "gelasio-semibold.ttf",
    "plain": FONTS / "arimo-regular.ttf",
}
_BLANKS = re.compile(r"[ \t\n]+")
_LATIN = 0x024F
_SIGNS = range(0x2010, 0x2040)
"""Code points of the serif face besides Latin letters: dashes and quotation marks."""


@cache
def load_font(size: int, face: Face) -> ImageFont.FreeTypeFont:
    """Return the font of a face in a size [px]."""
    return ImageFont.truetype(FILES[face], size, layout_engine=ImageFont.Layout.BASIC)


def choose_face(text: str, face: Face) -> Face:
    """Return the face for a text: `plain` where the text has characters that the serif face lacks."""
    whole = all(ord(sign) <= _LATIN or ord(sign) in _SIGNS for sign in text)
    return face if whole else "plain"


@lru_cache(maxsize=2048)
def measure_box(text: str, size: int, face: Face = "serif") -> tuple[float, float, float, float]:
    """Return left, top, right and bottom of a line's ink and advance, from the start of its baseline. [px]"""
    return load_font(size, choose_face(text, face)).getbbox(text, anchor="ls")


def measure_width(text: str, size: int, face: Face = "serif") -> int:
    """Return the width that a line needs. [px]"""
    left, _, right, _ = measure_box(text, size, face)
    return math.ceil(right - min(0, left))


def wrap_text(text: str, across: int, size: int, face: Face = "serif") -> list[str]:
    """Wrap a text to lines no wider than `across` [px]; a word that is too wide alone is cut with `…`.

    A no-break space is not broken at.
    """
    lines: list[str] = []
    for word in _BLANKS.split(text.strip()):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and measure_width(longer, size, face) <= across:
            lines[-1] = longer
        else:
            lines.append(cut_text(word, across, size, face))
    return lines


def cut_text(text: str, across: int, size: int, face: Face = "serif") -> str:
    """Return a text that fits into `across` [px], cut short with `…` where necessary."""
    if measure_width(text, size, face) <= across:
        return text
    low, high = 0, len(text)
    while low < high - 1:
        middle = (low + high) // 2
        fits = measure_width(text[:middle].rstrip() + "…", size, face) <= across
        low, high = (middle, high) if fits else (low, middle)
    whole = text[:low].rsplit(" ", 1)[0]  # cut between two words where that loses little
    return (whole if len(whole) > 0.7 * low else text[:low].rstrip()) + "…"


def fit_text(
    text: str, across: int, most: int, sizes: Sequence[int], face: Face = "serif"
) -> tuple[list[str], int]:
    """Return at most `most` lines in the largest of the sizes in which they fit, cut short if none does, and the size. [px]"""
    for size in sizes:
        lines = wrap_text(text, across, size, face)
        if len(lines) <= most:
            return lines, size
    fitting = lines[:most]
    fitting[-1] = cut_text(" ".join(lines[most - 1 :]), across, size, face)
    return fitting, size
