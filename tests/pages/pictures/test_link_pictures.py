"""Pictures for links: format and size, and no text beyond their edges."""

from dataclasses import replace
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from generator.pages.frame.drawings import Drawings
from generator.pages.frame.renderer import Renderer
from generator.pages.pictures import lettering, link_pictures
from generator.pages.pictures.draw_picture import (
    ACROSS,
    DOWN,
    MARGIN,
    PictureContent,
    draw_picture,
)
from tests.pages import site_example as example
from tests.pages.rendered import outputs_of

LIMIT = 40_000
"""Largest size of a picture; house rule. [bytes]"""
CARD = PictureContent(
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
    """Palette indexes of a picture's pixels, after a check for 16 colours, four bits a pixel and no metadata."""
    with Image.open(BytesIO(png)) as picture:
        assert picture.format == "PNG"
        assert picture.mode == "P"
        assert picture.info == {}
        assert len(picture.palette.getdata()[1]) == 3 * 16
        assert png[24] == 4
        return np.asarray(picture)


def inked(text: str, size: int, face: lettering.Face = "serif") -> np.ndarray:
    """The pixels of a line from its first to its last column with ink."""
    sheet = Image.new("L", (60 * len(text) + 200, 2 * size))
    font = lettering.load_font(size, lettering.choose_face(text, face))
    ImageDraw.Draw(sheet).text((100, size), text, 255, font, anchor="ls")
    ink = np.asarray(sheet)
    columns = np.flatnonzero(ink.any(axis=0))
    return ink[:, columns[0] : columns[-1] + 1]


def titled(title: str) -> PictureContent:
    return replace(CARD, title=title)


def test_a_picture_is_of_the_size_that_pages_say() -> None:
    """1200 by 630, as pages say with og:image:width and og:image:height."""
    assert pixels(draw_picture(CARD)).shape == (630, 1200)


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES)
def test_nothing_runs_out_of_the_picture(name: str) -> None:
    """No ink in the margins, whatever a bike is called; and no file is too heavy."""
    for card in (
        titled(name),
        replace(titled(name), figures=(), words=f"{name} " * 9, notice=f"{name} " * 20),
        replace(CARD, publication=name, figures=((name, name, name),) * 3),
    ):
        png = draw_picture(card)
        ink = pixels(png) > 0

        assert not ink[:, :MARGIN].any()
        assert not ink[:, ACROSS - MARGIN :].any()
        assert not ink[:20].any()
        assert not ink[DOWN - 16 :].any()
        assert len(png) <= LIMIT


@pytest.mark.parametrize("name", ["Invor Alpa", LONG])
def test_lines_do_not_touch(name: str) -> None:
    """Between the title, the figures and the notice there are rows without ink."""
    bare = ~(pixels(draw_picture(titled(name)))[:, MARGIN : ACROSS - MARGIN] > 0).any(axis=1)

    assert bare[112:135].any()
    assert bare[300:350].any() or name == LONG
    assert bare[495:529].any()


@pytest.mark.parametrize("face", ["serif", "plain"])
@pytest.mark.parametrize("text", ["Pellimor Fenno", "AVAVAV", "illi", "Žluťoučký", "26.1 kg", LONG])
def test_a_line_is_no_wider_than_was_said(text: str, face: lettering.Face) -> None:
    """A line is hardly narrower than its computed width: only the sides of the outer characters are left."""
    ink = inked(text, 60, face).shape[1]
    said = lettering.measure_width(text, 60, face)

    assert ink <= said
    assert ink > 0.85 * said - 12


def test_letters_with_marks_are_letters() -> None:
    """Each character has a shape of its own, so none is the box for a missing one."""
    for text in ("aäáâåăą", "sšśş", "oöøőó", "жяюё", "αβγδ"):
        shapes = [inked(sign, 60) for sign in text]

        for one, other in pairwise(shapes):
            assert one.shape != other.shape or (one != other).any(), text


def test_text_is_set_smaller_before_it_is_cut() -> None:
    lines, size = lettering.fit_text("Invor Alpa", 1000, 1, (80, 40))
    smaller, small = lettering.fit_text("Invor Alpa of a long name", 900, 1, (80, 40))
    shortened, least = lettering.fit_text(LONG, 500, 1, (80, 40))

    assert (lines, size) == (["Invor Alpa"], 80)
    assert (smaller, small) == (["Invor Alpa of a long name"], 40)
    assert len(shortened) == 1
    assert shortened[0].endswith("…")
    assert least == 40


def test_colours_are_those_of_the_site() -> None:
    """The palette holds background and full shades as the style sheet gives them."""
    png = draw_picture(CARD)
    palette = png[png.index(b"PLTE") + 4 :][:48]
    shades = ["#" + palette[place : place + 3].hex() for place in range(0, 48, 3)]

    assert [shades[0], *shades[5::5]] == list(CARD.colours)


def test_every_bike_and_guide_has_its_own() -> None:
    class Words(Drawings):
        def picture(self, card: PictureContent) -> bytes:
            return repr(card).encode()

    renderer = Renderer(example.table(), example.CONTENT, Path("nowhere"), Words())
    made = [*outputs_of(renderer, link_pictures.plan_jobs(renderer))]
    for bike in renderer.table.bikes:
        made += link_pictures.make_bike_picture(renderer, bike)
    cards = {output.path: output.data for output in made}

    assert set(cards) == {"pictures/site.png", "pictures/guides/far.png"} | {
        f"pictures/bikes/{bike.slug}.png" for bike in example.BIKES
    }
    assert len(set(cards.values())) == len(cards)
    for picture in cards.values():
        assert example.SETTINGS.notice.encode() in picture


def test_a_bike_without_figures_has_a_picture_with_its_name() -> None:
    assert pixels(draw_picture(replace(CARD, figures=(), words=""))).any()


def test_the_same_card_gives_the_same_bytes() -> None:
    assert draw_picture(CARD) == draw_picture(replace(CARD))
