"""Lines of text as pixels, and few colours of pixels as a PNG.

A line is drawn by itself, as SVG, and measured by the ink of its signs: so what fits is known and not guessed, whatever
the words and the face. Drawing only the lines is also several times faster than drawing a whole picture.
"""

import hashlib
import math
import re
import struct
import zlib
from collections.abc import Callable, Sequence
from functools import cache, lru_cache
from importlib.metadata import version
from pathlib import Path
from typing import Literal
from xml.sax.saxutils import escape

import numpy as np
from numpy.typing import NDArray

from generator.specs import program

Face = Literal["serif", "plain"]
Pixels = NDArray[np.uint8]
Draw = Callable[[str, int, Face], Pixels]
"""`line` or `by_words`."""

STEPS = 5
"""Shades between ground and full colour."""
MEASURED_AT = 96
"""Size of type at which signs are measured. [px]"""

_KERNING, _OVERHANG = 1.01, 0.08
"""How much wider than the sum of its signs a line may be: share of the sum; [em]. Found by trying, with tests."""

FONT = program.TEMPLATES / "vendor" / "gelasio-semibold.ttf"
FAMILIES = {"serif": "'Gelasio'", "plain": "'Liberation Sans'"}
"""The first is kept with our templates, the second comes with the program that draws: both are the same everywhere."""
_SPACE = re.compile("([ \u00a0\u202f])")
_BESIDE = 0.03
"""Room that signs keep on either side of their ink, together, on the average; so words stand nearly as in a line. [em]"""
_BLANKS = re.compile(r"[ \t\n]+")
_LATIN = 0x024F
_SIGNS = range(0x2010, 0x2040)
"""What the serif face has: Latin letters with their marks, dashes and quotation marks."""


@cache
def drawer() -> Callable[[str], bytes]:
    """What turns an SVG into a PNG, with our face among its fonts."""
    import vl_convert

    vl_convert.register_font_directory(str(FONT.parent))
    draw: Callable[[str], bytes] = vl_convert.svg_to_png
    return draw


@cache
def drawn_by() -> str:
    """What the look of a line depends on, beside its arguments."""
    code = hashlib.sha256(Path(__file__).read_bytes() + FONT.read_bytes()).hexdigest()
    return f"{version('vl-convert-python')} {code}"


@lru_cache(maxsize=2048)
def line(text: str, size: int, face: Face = "serif") -> Pixels:
    """Ink of one line, 0 to STEPS, as wide as its ink; the baseline is `size` pixels from the top.

    A text with signs that the serif face lacks is set in the plain one.
    """
    face = face_for(text, face)
    return _ink(text, size, face, width(text, size, face) + size)


def by_words(text: str, size: int, face: Face = "serif") -> Pixels:
    """The same put together from its words, each of which is drawn once for many lines.

    For titles, and for numbers with their units: the words stand as far apart as the signs that end them do on the
    average, which in running text would look uneven.
    """
    parts: list[Pixels] = []
    for place, part in enumerate(_SPACE.split(text)):
        if place % 2:
            gap = round((_advance(part, face_for(text, face)) + _BESIDE) * size)
            parts.append(np.zeros((_height(size), gap), np.uint8))
        else:
            parts.append(line(part, size, face_for(text, face)))
    return np.hstack(parts)


def _height(size: int) -> int:
    return -(-size * 4 // 3)


def width(text: str, size: int, face: Face = "serif") -> int:
    """Room that a line needs [px]: what its signs take up by themselves, and a little for those that reach over."""
    face = face_for(text, face)
    return math.ceil((sum(_advance(sign, face) for sign in text) * _KERNING + _OVERHANG) * size)


@cache
def _advance(sign: str, face: Face) -> float:
    """How far a sign moves what follows it, by the ink of two stems with and without it between them. [em]"""
    return (_stems(sign, face) - _stems("", face)) / MEASURED_AT


@cache
def _stems(between: str, face: Face) -> int:
    return _ink(f"H{between}H", MEASURED_AT, face, 5 * MEASURED_AT).shape[1]


def face_for(text: str, face: Face) -> Face:
    whole = all(ord(sign) <= _LATIN or ord(sign) in _SIGNS for sign in text)
    return face if whole else "plain"


def _ink(text: str, size: int, face: Face, room: int) -> Pixels:
    down = _height(size)
    if not text.strip():
        return np.zeros((down, 0), np.uint8)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{room}" height="{down}">'
        f'<rect width="{room}" height="{down}" fill="#fff"/>'
        f'<text x="{size // 4}" y="{size}" font-family="{FAMILIES[face]}" font-size="{size}" xml:space="preserve">'
        f"{escape(text)}</text></svg>"
    )
    shade = 255 - _one_channel(drawer()(svg))
    ink = ((shade.astype(np.uint16) * STEPS + 127) // 255).astype(np.uint8)
    columns = np.flatnonzero(ink.any(axis=0))
    return ink[:, columns[0] : columns[-1] + 1] if columns.size else ink[:, :0]


def _one_channel(png: bytes) -> Pixels:
    """Red of a picture with four channels, each row of which is stored as differences from pixel to pixel.

    That is how the program that draws stores all of its pictures. W3C, Portable Network Graphics (PNG) specification,
    third edition, 9.2: filter type 1.
    """
    across, down = struct.unpack_from(">II", png, 16)
    rows = np.frombuffer(zlib.decompress(_chunks(png, b"IDAT")), np.uint8).reshape(down, -1)
    if (rows[:, 0] != 1).any():
        raise ValueError("the picture is not stored as expected: a new version of vl-convert?")
    return np.cumsum(rows[:, 1:].reshape(down, across, 4)[:, :, 0], axis=1, dtype=np.uint8)


def _chunks(png: bytes, wanted: bytes) -> bytes:
    place, found = 8, []
    while place < len(png):
        (length,) = struct.unpack_from(">I", png, place)
        if png[place + 4 : place + 8] == wanted:
            found.append(png[place + 8 : place + 8 + length])
        place += length + 12
    return b"".join(found)


def wrapped(text: str, across: int, size: int, face: Face = "serif") -> list[str]:
    """The text in lines no wider than `across` [px]; a word that is wider alone is cut, and says so with `…`.

    A no-break space keeps what it joins on one line.
    """
    lines: list[str] = []
    for word in _BLANKS.split(text.strip()):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size, face) <= across:
            lines[-1] = longer
        else:
            lines.append(cut(word, across, size, face))
    return lines


def cut(text: str, across: int, size: int, face: Face = "serif") -> str:
    """The text, or as much of its beginning as fits with `…`."""
    if width(text, size, face) <= across:
        return text
    low, high = 0, len(text)
    while low < high - 1:
        middle = (low + high) // 2
        fits = width(text[:middle].rstrip() + "…", size, face) <= across
        low, high = (middle, high) if fits else (low, middle)
    whole = text[:low].rsplit(" ", 1)[0]  # rather between two words, where not much is lost by that
    return (whole if len(whole) > 0.7 * low else text[:low].rstrip()) + "…"


def fitted(
    text: str, across: int, most: int, sizes: Sequence[int], face: Face = "serif"
) -> tuple[list[str], int]:
    """At most so many lines in the largest of the sizes that lets them fit, cut short if none does; and that size."""
    for size in sizes:
        lines = wrapped(text, across, size, face)
        if len(lines) <= most:
            return lines, size
    kept = lines[:most]
    kept[-1] = cut(" ".join(lines[most - 1 :]), across, size, face)
    return kept, size


def png(pixels: Pixels, palette: Sequence[str]) -> bytes:
    """A picture of at most 16 colours, `#rrggbb`; an even number of pixels wide."""
    down, across = pixels.shape
    rows = np.zeros((down, across // 2 + 1), np.uint8)
    rows[:, 1:] = pixels[:, ::2] << 4 | pixels[:, 1::2]
    parts = (
        (b"IHDR", struct.pack(">IIBBBBB", across, down, 4, 3, 0, 0, 0)),
        (b"PLTE", b"".join(bytes.fromhex(colour[1:]) for colour in palette)),
        (b"IDAT", zlib.compress(rows.tobytes(), 3)),
        (b"IEND", b""),
    )
    body = b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in parts
    )
    return b"\x89PNG\r\n\x1a\n" + body
