"""A still picture as SVG, measured as it is set: what does not fit is made smaller, and cut last of all.

Margins of 5 % on every side are kept free, the area that television calls safe for words (EBU R 95, from memory; common
practice elsewhere). No word is smaller than 32 px, so that a still can be read on a telephone.
"""

import re
from collections.abc import Sequence
from typing import NamedTuple
from xml.sax.saxutils import escape

from generator.pages.frame.site_colours import Scheme
from generator.pages.pictures import lettering
from generator.pages.pictures.lettering import Face

MARGIN = 0.05
"""Share of each side that stays free."""
OVERHANG = 6
"""[px]"""
SMALLEST = 32
"""Size of the smallest words. [px]"""
LEADING: dict[Face, float] = {"serif": 1.18, "plain": 1.32}
"""From line to line, in sizes."""
_UNIT = re.compile(r"(\d) (?=(?:km|m|mi|ft|kg|lb|W|Wh|N|s|min|h|A|V|%|rpm|mph|[A-Z]{3})\b|%)")
"""A number and its unit, which stay on one line."""


class Size(NamedTuple):
    across: int
    down: int


LANDSCAPE, PORTRAIT, SQUARE = Size(1920, 1080), Size(1080, 1920), Size(1080, 1080)


class Box(NamedTuple):
    """A part of the picture. [px]"""

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

    def columns(self, share: float, gap: int) -> tuple["Box", "Box"]:
        """Two boxes side by side; the first takes that share."""
        middle = self.left + round((self.across - gap) * share)
        return self._replace(right=middle), self._replace(left=middle + gap)


class Type(NamedTuple):
    """How words are set: sizes to try, the largest first; how many lines at most."""

    sizes: Sequence[int]
    most: int = 1
    face: Face = "plain"
    role: str = "ink"


class Paper:
    """Shapes that become a picture. Places are in pixels from the upper left."""

    def __init__(self, size: Size, scheme: Scheme) -> None:
        self.size = size
        self.scheme = scheme
        self.shapes: list[str] = []
        self.words: list[str] = []
        """Every line that is set, for whoever cannot see it."""

    @property
    def safe(self) -> Box:
        """All but the margins, and a little within them for signs that reach over their own place."""
        across, down = (round(side * MARGIN) + OVERHANG for side in self.size)
        return Box(across, down, self.size.across - across, self.size.down - down)

    def line(self, text: str, left: int, foot: int, size: int, face: Face, role: str) -> None:
        """One line as it is, with its foot at `foot`."""
        family = lettering.FAMILIES[lettering.face_for(text, face)]
        self.words.append(text)
        self.shapes.append(
            f'<text x="{left}" y="{foot}" font-family="{family}" font-size="{size}" '
            f'fill="{self.scheme[role]}">{escape(text)}</text>'
        )

    def block(self, text: str, box: Box, style: Type) -> int:
        """Lines from the top of a box; gives where the next thing may stand.

        As many lines are set as the style and the box allow, in the largest size that takes them all.
        """
        if not text.strip():
            return box.top
        text = _UNIT.sub("\\1\u00a0", text)
        lines, size = fitted(text, box, style)
        step = leading(size, style.face)
        for row, words in enumerate(lines):
            self.line(words, box.left, box.top + row * step + size, size, style.face, style.role)
        return box.top + len(lines) * step

    def at_bottom(self, text: str, box: Box, style: Type) -> int:
        """The same, ending at the bottom of the box; gives where it begins."""
        if not text.strip():
            return box.bottom
        text = _UNIT.sub("\\1\u00a0", text)
        lines, size = fitted(text, box, style)
        top = box.bottom - len(lines) * leading(size, style.face)
        self.block(text, box.below(top), style)
        return top

    def rule(self, left: int, right: int, top: int, thick: int = 2, role: str = "rule") -> None:
        colour = self.scheme[role]
        self.shapes.append(
            f'<rect x="{left}" y="{top}" width="{right - left}" height="{thick}" fill="{colour}"/>'
        )

    def picture(
        self, svg: str, width: float, height: float, box: Box, text_size: float
    ) -> tuple[float, int]:
        """A drawing of that size, as large as the box lets it be; gives its scale and where it ends."""
        scale = min(box.across / width, box.down / height)
        self.shapes.append(
            f'<g transform="translate({box.left} {box.top}) scale({scale:.4f})" '
            f'font-family="{lettering.FAMILIES["plain"]}" font-size="{text_size:g}" '
            f'fill="{self.scheme["ink"]}">{svg}</g>'
        )
        return scale, box.top + round(height * scale)

    def svg(self) -> str:
        across, down = self.size
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{across}" height="{down}" '
            f'viewBox="0 0 {across} {down}">'
            f'<rect width="{across}" height="{down}" fill="{self.scheme["paper"]}"/>'
            + "".join(self.shapes)
            + "</svg>"
        )

    def png(self) -> bytes:
        return lettering.drawer()(self.svg())


def leading(size: int, face: Face) -> int:
    """From line to line. [px]"""
    return round(size * LEADING[face])


def fitted(text: str, box: Box, style: Type) -> tuple[list[str], int]:
    """The lines of a block and their size, by the room that its box has."""
    for size in style.sizes:
        room = max(1, min(style.most, box.down // leading(size, style.face)))
        lines = lettering.wrapped(text, box.across, size, style.face)
        if len(lines) <= room and not any(line.endswith("…") for line in lines):
            return lines, size
    size = style.sizes[-1]
    room = max(1, min(style.most, box.down // leading(size, style.face)))
    return lettering.fitted(text, box.across, room, (size,), style.face)
