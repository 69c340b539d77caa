"""A still as SVG whose words are measured as they are set: text that does not fit is made smaller, and cut last of all.

Margins of 5 % on every side stay free, which leaves the area that television calls safe for words (EBU R 95, from
memory; common practice elsewhere). No word is smaller than 32 px, so that a still can be read on a telephone.

* StillCanvas   the still
* Box           a part of it
* TextStyle     a style of words
* fit_lines     words broken into lines that fit a box
"""

import re
from collections.abc import Sequence
from typing import NamedTuple
from xml.sax.saxutils import escape

from generator.pages.frame.site_colours import ColourScheme
from generator.pages.pictures import lettering
from generator.pages.pictures.lettering import Face

MARGIN = 0.05
"""Share of each side that stays free."""
FAMILIES: dict[Face, str] = {"serif": "'Gelasio'", "plain": "'Arimo'"}
"""Names of the faces by which lines are measured."""
OVERHANG = 6
"""Room within the margins for glyphs that reach over their own width. [px]"""
SMALLEST = 32
"""Size of the smallest words. [px]"""
LEADING: dict[Face, float] = {"serif": 1.18, "plain": 1.32}
"""Distance from line to line as a multiple of the type size, by face."""
_UNIT = re.compile(r"(\d) (?=(?:km|m|mi|ft|kg|lb|W|Wh|N|s|min|h|A|V|%|rpm|mph|[A-Z]{3})\b|%)")
"""The space between a number and its unit, which must not break."""


class PictureSize(NamedTuple):
    """Width and height of a picture. [px]"""

    across: int
    down: int


LANDSCAPE, PORTRAIT, SQUARE = (
    PictureSize(1920, 1080),
    PictureSize(1080, 1920),
    PictureSize(1080, 1080),
)


class Box(NamedTuple):
    """A rectangle in the picture. [px]"""

    left: int
    top: int
    right: int
    bottom: int

    @property
    def across(self) -> int:
        return self.right - self.left

    @property
    def down(self) -> int:
        return self.bottom - self.top

    def below(self, top: int) -> "Box":
        return self._replace(top=top)

    def above(self, bottom: int) -> "Box":
        return self._replace(bottom=bottom)

    def split_columns(self, share: float, gap: int) -> tuple["Box", "Box"]:
        """Two boxes side by side with a gap; the first takes the share of the rest."""
        middle = self.left + round((self.across - gap) * share)
        return self._replace(right=middle), self._replace(left=middle + gap)


class TextStyle(NamedTuple):
    """A style of words: sizes to try, largest first [px]; most lines; typeface; role of the colour in the scheme."""

    sizes: Sequence[int]
    most: int = 1
    face: Face = "plain"
    role: str = "ink"


class StillCanvas:
    """A still being drawn. Coordinates are in pixels from the upper left."""

    def __init__(self, size: PictureSize, scheme: ColourScheme) -> None:
        self.size = size
        self.scheme = scheme
        self.shapes: list[str] = []
        self.words: list[str] = []
        """Every line set, for the text alternative."""

    @property
    def safe(self) -> Box:
        """The picture without margins and `OVERHANG`."""
        across, down = (round(side * MARGIN) + OVERHANG for side in self.size)
        return Box(across, down, self.size.across - across, self.size.down - down)

    def set_line(self, text: str, left: int, foot: int, size: int, face: Face, role: str) -> None:
        """One line as it is, with its foot at `foot`."""
        family = FAMILIES[lettering.choose_face(text, face)]
        self.words.append(text)
        self.shapes.append(
            f'<text x="{left}" y="{foot}" font-family="{family}" font-size="{size}" '
            f'fill="{self.scheme[role]}">{escape(text)}</text>'
        )

    def set_block(self, text: str, box: Box, style: TextStyle) -> int:
        """Sets text from the top of a box and returns where it ends. [px]

        It has as many lines as the style and the box allow, in the largest size that holds the whole text.
        """
        if not text.strip():
            return box.top
        text = _UNIT.sub("\\1\u00a0", text)
        lines, size = fit_lines(text, box, style)
        step = leading(size, style.face)
        for row, words in enumerate(lines):
            self.set_line(
                words, box.left, box.top + row * step + size, size, style.face, style.role
            )
        return box.top + len(lines) * step

    def set_at_bottom(self, text: str, box: Box, style: TextStyle) -> int:
        """Sets text that ends at the bottom of a box and returns where it begins. [px]"""
        if not text.strip():
            return box.bottom
        text = _UNIT.sub("\\1\u00a0", text)
        lines, size = fit_lines(text, box, style)
        top = box.bottom - len(lines) * leading(size, style.face)
        self.set_block(text, box.below(top), style)
        return top

    def draw_rule(
        self, left: int, right: int, top: int, thick: int = 2, role: str = "rule"
    ) -> None:
        colour = self.scheme[role]
        self.shapes.append(
            f'<rect x="{left}" y="{top}" width="{right - left}" height="{thick}" fill="{colour}"/>'
        )

    def place_drawing(
        self, svg: str, width: float, height: float, box: Box, text_size: float
    ) -> tuple[float, int]:
        """Places a drawing as large as the box allows; returns its scale [-] and where it ends [px]."""
        scale = min(box.across / width, box.down / height)
        self.shapes.append(
            f'<g transform="translate({box.left} {box.top}) scale({scale:.4f})" '
            f'font-family="{FAMILIES["plain"]}" font-size="{text_size:g}" '
            f'fill="{self.scheme["ink"]}">{svg}</g>'
        )
        return scale, box.top + round(height * scale)

    def to_svg(self) -> str:
        across, down = self.size
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{across}" height="{down}" '
            f'viewBox="0 0 {across} {down}">'
            f'<rect width="{across}" height="{down}" fill="{self.scheme["paper"]}"/>'
            + "".join(self.shapes)
            + "</svg>"
        )

    def to_png(self) -> bytes:
        return draw(self.to_svg())


def draw(svg: str) -> bytes:
    """An SVG as PNG, with our faces among its fonts."""
    import vl_convert

    vl_convert.register_font_directory(str(lettering.FONTS))
    png: bytes = vl_convert.svg_to_png(svg)
    return png


def leading(size: int, face: Face) -> int:
    """Distance from line to line. [px]"""
    return round(size * LEADING[face])


def fit_lines(text: str, box: Box, style: TextStyle) -> tuple[list[str], int]:
    """The lines of a text in a box, and their size. [px]"""
    for size in style.sizes:
        room = max(1, min(style.most, box.down // leading(size, style.face)))
        lines = lettering.wrap_text(text, box.across, size, style.face)
        if len(lines) <= room and not any(line.endswith("…") for line in lines):
            return lines, size
    size = style.sizes[-1]
    room = max(1, min(style.most, box.down // leading(size, style.face)))
    return lettering.fit_text(text, box.across, room, (size,), style.face)
