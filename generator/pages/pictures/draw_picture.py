"""Draws a picture that is shown with a link to the site: 1200 by 630 pixels, as PNG.

* PictureContent        the content of one picture
* draw_picture          a content as PNG
* find_drawing_version  what a picture depends on beside its content
"""

import hashlib
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageChops, ImageColor, ImageDraw
from PIL import __version__ as pillow

from generator.pages.frame import urls
from generator.pages.pictures import lettering

ACROSS, DOWN = urls.PICTURE_SIZE
MARGIN = 72
INNER = ACROSS - 2 * MARGIN
COLUMNS = 3
GAP = 36
COLUMN = (INNER - (COLUMNS - 1) * GAP) // COLUMNS
"""Width of a key figure. [px]"""
ROLES = ("ink", "rubric", "muted")
"""Roles of the text colours."""
STEPS = 5
"""Shades of each text colour between background and full colour: with the background 16 colours, 4 bits a pixel."""
COMPRESSION = 6
"""Level of PNG compression, from 1 (fast) to 9 (small)."""

TITLE_SIZES = (88, 76, 66, 56)
NUMBER_SIZES = (64, 52, 42, 34)
SMALL = 27


@dataclass(frozen=True)
class PictureContent:
    """The content of a picture: plain texts from top to bottom, and the colours."""

    publication: str
    title: str
    words: str
    """Text below the title; empty where there are figures."""
    figures: tuple[tuple[str, str, str], ...]
    """Value with unit, interval and title of each key figure."""
    notice: str
    colours: tuple[str, ...]
    """Background colour, then the colours of `ROLES`, as `#rrggbb`."""


@cache
def find_drawing_version() -> str:
    """Return the version of what draws pictures: Pillow, this code and the fonts."""
    files = (Path(__file__), Path(lettering.__file__), *lettering.FILES.values())
    return f"{pillow} {[hashlib.sha256(file.read_bytes()).hexdigest() for file in files]}"


def draw_picture(content: PictureContent) -> bytes:
    """Draw a card as PNG."""
    canvas = _PictureCanvas()
    canvas.draw_line(content.publication, MARGIN, 36, 36, INNER)
    canvas.draw_rule(104, 3)
    canvas.draw_rule(110, 1)
    sizes = TITLE_SIZES[1:] if content.figures else TITLE_SIZES
    top = canvas.draw_block(content.title, 142, 2 if content.figures else 3, sizes)
    if content.figures:
        _draw_figures(canvas, content)
    elif content.words:
        canvas.draw_block(
            content.words, top + 6, max(1, (500 - top) // 50), (36,), "plain", "muted"
        )
    if content.notice:
        canvas.draw_rule(530, 1)
        canvas.draw_block(content.notice, 540, 2, (24, 21), "plain", "muted")
    return canvas.encode_png(content.colours)


def _draw_figures(canvas: "_PictureCanvas", content: PictureContent) -> None:
    """Draw value, interval and title of the key figures, side by side, all values in one size."""
    size = min(
        lettering.fit_text(value, COLUMN, 1, NUMBER_SIZES)[1] for value, _, _ in content.figures
    )
    for place, (value, likely, title) in enumerate(content.figures):
        left = MARGIN + place * (COLUMN + GAP)
        canvas.draw_line(value, left, 392 - size, size, COLUMN, "serif", "rubric")
        canvas.draw_line(likely, left, 408, SMALL, COLUMN, "plain", "ink")
        words, small = lettering.fit_text(title, COLUMN, 2, (SMALL, 24, 21), "plain")
        for row, text in enumerate(words):
            canvas.draw_line(text, left, 446 + row * 34, small, COLUMN, "plain", "muted")


def _build_palette(colours: tuple[str, ...]) -> list[int]:
    """Return red, green and blue of the background, then of each role's shades from faint to full."""
    ground, *roles = map(ImageColor.getrgb, colours)
    palette = [*ground]
    for colour in roles:
        for step in range(1, STEPS + 1):
            pairs = zip(ground, colour, strict=True)
            palette += (round(low + (high - low) * step / STEPS) for low, high in pairs)
    return palette


class _PictureCanvas:
    """The picture while it is drawn: one layer of ink for each role."""

    def __init__(self) -> None:
        self._inks = {role: Image.new("L", (ACROSS, DOWN)) for role in ROLES}

    def encode_png(self, colours: tuple[str, ...]) -> bytes:
        """Return the picture as PNG without metadata, so the same picture has the same bytes; `colours` are a card's."""
        picture = Image.new("L", (ACROSS, DOWN))
        for place, ink in enumerate(self._inks.values()):
            steps = ((shade * STEPS + 127) // 255 for shade in range(256))
            places = [place * STEPS + step if step else 0 for step in steps]
            picture = ImageChops.lighter(picture, ink.point(places))
        picture.putpalette(_build_palette(colours))
        file = BytesIO()
        picture.save(file, "PNG", compress_level=COMPRESSION)
        return file.getvalue()

    def draw_rule(self, top: int, thick: int) -> None:
        """Draw a horizontal rule between the margins. [px]"""
        self._inks["ink"].paste(255, (MARGIN, top, ACROSS - MARGIN, top + thick))

    def draw_line(
        self,
        text: str,
        left: int,
        top: int,
        size: int,
        across: int,
        face: lettering.Face = "serif",
        role: str = "ink",
    ) -> None:
        """Draw one line, cut short where it would be wider than `across`. No ink lies left of `left`. [px]"""
        text = lettering.cut_text(text, across, size, face)
        font = lettering.load_font(size, lettering.choose_face(text, face))
        start = left - lettering.measure_box(text, size, face)[0]
        ImageDraw.Draw(self._inks[role]).text((start, top + size), text, 255, font, anchor="ls")

    def draw_block(
        self,
        text: str,
        top: int,
        most: int,
        sizes: tuple[int, ...],
        face: lettering.Face = "serif",
        role: str = "ink",
    ) -> int:
        """Draw a text in at most `most` lines over the whole width; return the top of the free space below. [px]"""
        lines, size = lettering.fit_text(text, INNER, most, sizes, face)
        step = round(size * (1.18 if face == "serif" else 1.35))
        for row, words in enumerate(lines):
            self.draw_line(words, MARGIN, top + row * step, size, INNER, face, role)
        return top + len(lines) * step + size // 4
