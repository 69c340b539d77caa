"""Pictures that stand beside a link to the site, where others share it: one of the site, of each guide and of each bike.

* Card      what one picture says
* outputs   every picture
* card_of   a card in the publication's name; key_figures are what a bike's card shows
* drawn     a card as PNG, 1200 by 630; a build hands in one that keeps what it has drawn
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path

import numpy as np

from generator.content.model import Text
from generator.figures import show
from generator.pages.frame import site_colours, urls
from generator.pages.frame.headlines import headlines
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.pages.pictures import lettering
from generator.specs.bike import Bike

ACROSS, DOWN = urls.PICTURE_SIZE
MARGIN = 72
INNER = ACROSS - 2 * MARGIN
COLUMNS = 3
GAP = 36
COLUMN = (INNER - (COLUMNS - 1) * GAP) // COLUMNS
"""Width of a key figure. [px]"""
ROLES = ("ink", "rubric", "muted")
"""Colours of text; each has STEPS shades in the palette, after the ground."""

TITLE_SIZES = (88, 76, 66, 56)
NUMBER_SIZES = (64, 52, 42, 34)
SMALL = 27


@dataclass(frozen=True)
class Card:
    """Plain text in the order in which it stands, and the colours by role."""

    publication: str
    title: str
    words: str
    """Beneath the title; left out where there are figures."""
    figures: tuple[tuple[str, str, str], ...]
    """Value with unit, interval, title."""
    notice: str
    colours: tuple[str, ...]
    """Ground, then those of ROLES."""


Draw = Callable[[Card], bytes]


def jobs(renderer: Renderer, draw: Draw) -> Iterator[Job]:
    """One for each picture but those of bikes, which are made with their pages."""
    yield Job(partial(_of_site, renderer, draw))
    for guide in renderer.content.guides:
        yield Job(partial(_of_guide, renderer, draw, guide))


def _of_site(renderer: Renderer, draw: Draw) -> Iterator[Output]:
    yield Output(urls.PICTURE, draw(card_of(renderer, renderer.settings.tagline, "")))


def _of_guide(renderer: Renderer, draw: Draw, guide: Text) -> Iterator[Output]:
    card = card_of(renderer, guide.title, guide.summary)
    yield Output(urls.picture("guides", guide.slug), draw(card))


def of_bike(renderer: Renderer, draw: Draw, bike: Bike) -> Iterator[Output]:
    card = card_of(renderer, bike.full_name, bike.summary, key_figures(renderer, bike))
    yield Output(urls.picture("bikes", bike.slug), draw(card))


def card_of(
    renderer: Renderer, title: str, words: str, figures: tuple[tuple[str, str, str], ...] = ()
) -> Card:
    """A card in the publication's name and colours; its words are left out where there are figures."""
    light, _ = site_colours.schemes(renderer.root)
    return Card(
        renderer.settings.title,
        title,
        "" if figures else words,
        figures,
        renderer.settings.notice,
        (light["paper"], *(light[role] for role in ROLES)),
    )


def key_figures(renderer: Renderer, bike: Bike) -> tuple[tuple[str, str, str], ...]:
    """The first three that the bike's page shows."""
    known = renderer.table.of(bike.slug)
    rows = []
    for kind in headlines(figure.kind for figure in known.values())[:COLUMNS]:
        figure = known[kind.id]
        interval = show.interval(figure, renderer.system)
        likely = f"likely {show.join(interval, show.unit(figure.kind, renderer.system))}"
        rows.append((show.text(figure, renderer.system), likely if interval else "", kind.title))
    return tuple(rows)


@cache
def drawn_by() -> str:
    """What a picture depends on beside its card."""
    return lettering.drawn_by() + Path(__file__).read_text("utf-8")


def drawn(card: Card) -> bytes:
    page = _Sheet()
    page.line(card.publication, MARGIN, 36, 36, INNER)
    page.rule(104, 3)
    page.rule(110, 1)
    sizes = TITLE_SIZES[1:] if card.figures else TITLE_SIZES
    top = page.block(card.title, 142, 2 if card.figures else 3, sizes)
    if card.figures:
        _figures(page, card)
    elif card.words:
        page.block(card.words, top + 6, max(1, (500 - top) // 50), (36,), "plain", "muted")
    if card.notice:
        page.rule(530, 1)
        page.block(card.notice, 540, 2, (24, 21), "plain", "muted")
    return lettering.png(page.pixels, _palette(card.colours))


def _figures(page: "_Sheet", card: Card) -> None:
    """Value, interval and title of each, side by side, all values in one size."""
    size = min(lettering.fitted(value, COLUMN, 1, NUMBER_SIZES)[1] for value, _, _ in card.figures)
    for place, (value, likely, title) in enumerate(card.figures):
        left = MARGIN + place * (COLUMN + GAP)
        draw = lettering.by_words
        page.line(value, left, 392 - size, size, COLUMN, "serif", "rubric", draw)
        page.line(likely, left, 408, SMALL, COLUMN, "plain", "ink", draw)
        words, small = lettering.fitted(title, COLUMN, 2, (SMALL, 24, 21), "plain")
        for row, text in enumerate(words):
            page.line(text, left, 446 + row * 34, small, COLUMN, "plain", "muted")


def _palette(colours: tuple[str, ...]) -> list[str]:
    """The ground, then each role's shades from faint to full."""
    ground, *roles = (np.array(list(bytes.fromhex(colour[1:]))) for colour in colours)
    shades = [ground]
    for colour in roles:
        shades += [
            ground + (colour - ground) * step / lettering.STEPS
            for step in range(1, lettering.STEPS + 1)
        ]
    return ["#" + bytes(int(part + 0.5) for part in shade).hex() for shade in shades]


class _Sheet:
    """Pixels that become a picture: places in the palette, 0 is the ground."""

    def __init__(self) -> None:
        self.pixels = np.zeros((DOWN, ACROSS), np.uint8)

    def rule(self, top: int, thick: int) -> None:
        self.pixels[top : top + thick, MARGIN : ACROSS - MARGIN] = lettering.STEPS

    def line(
        self,
        text: str,
        left: int,
        top: int,
        size: int,
        across: int,
        face: lettering.Face = "serif",
        role: str = "ink",
        draw: lettering.Draw = lettering.line,
    ) -> None:
        """One line, cut short where it would be wider than `across`.

        Titles, and numbers with their units, have words that stand on many pictures: `draw` is by words then.
        """
        ink = draw(lettering.cut(text, across, size, face), size, face)[:, :across]
        down, wide = ink.shape
        box = self.pixels[top : top + down, left : left + wide]
        np.copyto(box, ink + ROLES.index(role) * lettering.STEPS, where=ink > 0)

    def block(
        self,
        text: str,
        top: int,
        most: int,
        sizes: tuple[int, ...],
        face: lettering.Face = "serif",
        role: str = "ink",
    ) -> int:
        """Lines over the whole width; gives where the next thing may stand."""
        lines, size = lettering.fitted(text, INNER, most, sizes, face)
        step = round(size * (1.18 if face == "serif" else 1.35))
        draw = lettering.by_words if face == "serif" else lettering.line
        for row, words in enumerate(lines):
            self.line(words, MARGIN, top + row * step, size, INNER, face, role, draw)
        return top + len(lines) * step + size // 4
