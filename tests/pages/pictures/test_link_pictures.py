"""Pictures beside links: their format, their size, and that no text runs out of them."""

import struct
import zlib
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from generator.pages.frame.renderer import Renderer
from generator.pages.pictures import lettering, link_pictures
from generator.pages.pictures.link_pictures import ACROSS, DOWN, MARGIN, Card, drawn
from tests.pages import site_example as example

LIMIT = 40_000
"""House rule. [bytes]"""
CARD = Card(
    "The Invented Book",
    "Invor Alpa",
    "",
    (
        ("44 km", "likely 36–52 km", "Range on the loop"),
        ("18 %", "", "Steepest hill"),
        ("26.1 kg", "", "Mass"),
    ),
    "All of this is invented.",
    ("#fdfdfb", "#1b2423", "#8c2f17", "#55605e"),
)
LONG = "Wubrinwubrinwubrin-Oddruoddruoddru Extraordinarily Long Travelling Edition mit Überlänge"
NAMES = {
    "long": LONG,
    "one word": "W" * 120,
    "accents": "Žluťoučký Ĝroŝŝ Ñandú Œuvre İstanbul",
    "greek and cyrillic": "Ποδήλατο Велосипед",
    "no letters that we have": "電動自転車",
    "markup": '<b>& "quoted" </text>',
    "empty": "",
}


def pixels(png: bytes) -> np.ndarray:
    """The picture's places in its palette, read as the PNG specification says, third edition, 5 and 11."""
    assert png[:8] == bytes([137, 80, 78, 71, 13, 10, 26, 10])
    place, data, names = 8, b"", []
    while place < len(png):
        (length,) = struct.unpack_from(">I", png, place)
        name, body = png[place + 4 : place + 8], png[place + 8 : place + 8 + length]
        (check,) = struct.unpack_from(">I", png, place + 8 + length)
        assert check == zlib.crc32(name + body)
        names.append(name)
        if name == b"IHDR":
            across, down, depth, colour, _, _, interlaced = struct.unpack(">IIBBBBB", body)
            assert (depth, colour, interlaced) == (4, 3, 0)
        if name == b"PLTE":
            assert len(body) <= 3 * 16
        data += body if name == b"IDAT" else b""
        place += length + 12
    assert names == [b"IHDR", b"PLTE", b"IDAT", b"IEND"]
    rows = np.frombuffer(zlib.decompress(data), np.uint8).reshape(down, across // 2 + 1)
    assert not rows[:, 0].any()
    return np.stack([rows[:, 1:] >> 4, rows[:, 1:] & 15], axis=2).reshape(down, across)


def titled(title: str) -> Card:
    return replace(CARD, title=title)


def test_a_picture_is_of_the_size_that_pages_say() -> None:
    """1200 by 630, as pages say with og:image:width and og:image:height."""
    assert pixels(drawn(CARD)).shape == (630, 1200)


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES)
def test_nothing_runs_out_of_the_picture(name: str) -> None:
    """No ink in the margins, whatever a bike is called; and no file is too heavy."""
    for card in (
        titled(name),
        replace(titled(name), figures=(), words=f"{name} " * 9, notice=f"{name} " * 20),
        replace(CARD, publication=name, figures=((name, name, name),) * 3),
    ):
        png = drawn(card)
        ink = pixels(png) > 0

        assert not ink[:, :MARGIN].any()
        assert not ink[:, ACROSS - MARGIN :].any()
        assert not ink[:20].any()
        assert not ink[DOWN - 16 :].any()
        assert len(png) <= LIMIT


@pytest.mark.parametrize("name", ["Invor Alpa", LONG])
def test_lines_do_not_touch(name: str) -> None:
    """Between the title, the figures and the notice there are rows without ink."""
    bare = ~(pixels(drawn(titled(name)))[:, MARGIN : ACROSS - MARGIN] > 0).any(axis=1)

    assert bare[112:135].any()
    assert bare[300:350].any() or name == LONG
    assert bare[495:529].any()


@pytest.mark.parametrize("face", ["serif", "plain"])
@pytest.mark.parametrize("text", ["Pellimor Fenno", "AVAVAV", "illi", "Žluťoučký", "26.1 kg", LONG])
def test_a_line_is_no_wider_than_was_said(text: str, face: lettering.Face) -> None:
    """And not much narrower: what is left is kerning and the sides of the outer signs."""
    ink = lettering.line(text, 60, face).shape[1]
    said = lettering.width(text, 60, face)

    assert ink <= said
    assert ink > 0.85 * said - 12


def test_letters_with_marks_are_letters() -> None:
    """Each sign has a shape of its own, so none is the box that stands for a missing one."""
    for text in ("aäáâåăą", "sšśş", "oöøőó", "жяюё", "αβγδ"):
        shapes = [lettering.line(sign, 60) for sign in text]

        for one, other in pairwise(shapes):
            assert one.shape != other.shape or (one != other).any(), text


def test_text_is_set_smaller_before_it_is_cut() -> None:
    lines, size = lettering.fitted("Invor Alpa", 1000, 1, (80, 40))
    smaller, small = lettering.fitted("Invor Alpa of a long name", 900, 1, (80, 40))
    shortened, least = lettering.fitted(LONG, 500, 1, (80, 40))

    assert (lines, size) == (["Invor Alpa"], 80)
    assert (smaller, small) == (["Invor Alpa of a long name"], 40)
    assert len(shortened) == 1
    assert shortened[0].endswith("…")
    assert least == 40


def test_colours_are_those_of_the_site() -> None:
    """Ground and full shades stand in the palette as the style sheet gives them."""
    png = drawn(CARD)
    palette = png[png.index(b"PLTE") + 4 :][:48]
    shades = ["#" + palette[place : place + 3].hex() for place in range(0, 48, 3)]

    assert [shades[0], *shades[5::5]] == list(CARD.colours)


def test_every_bike_and_guide_has_its_own() -> None:
    renderer = Renderer(example.table(), example.CONTENT, Path("nowhere"))

    def draw(card: link_pictures.Card) -> bytes:
        return repr(card).encode()

    made = [output for job in link_pictures.jobs(renderer, draw) for output in job.make()]
    made += (
        each
        for bike in renderer.table.bikes
        for each in link_pictures.of_bike(renderer, draw, bike)
    )
    cards = {output.path: output.data for output in made}

    assert set(cards) == {"pictures/site.png", "pictures/guides/far.png"} | {
        f"pictures/bikes/{bike.slug}.png" for bike in example.BIKES
    }
    assert len(set(cards.values())) == len(cards)
    for picture in cards.values():
        assert example.SETTINGS.notice.encode() in picture


def test_a_bike_without_figures_has_a_picture_with_its_name() -> None:
    assert pixels(drawn(replace(CARD, figures=(), words=""))).any()


def test_the_same_card_gives_the_same_bytes() -> None:
    assert drawn(CARD) == drawn(replace(CARD))
