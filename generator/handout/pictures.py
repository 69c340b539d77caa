"""Every picture of a handout: stills, cards for links, the code by itself."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from generator.charts import embed
from generator.figures import show
from generator.figures.model import Figure
from generator.handout import still_charts
from generator.handout.codes import Code, code_of
from generator.handout.conditions import at_its_limit, said, spoken
from generator.handout.paper import LANDSCAPE, PORTRAIT, SQUARE, Paper, Size, Type
from generator.handout.still_charts import Drawing
from generator.handout.still_sides import Side, sides_still, table_still
from generator.handout.stills import (
    FINDING,
    GAP,
    NAME,
    Frame,
    NumberRow,
    blank,
    chart_room,
    chart_still,
    code_still,
    numbers_still,
)
from generator.handout.subject import Subject
from generator.pages.compare.comparison import called
from generator.pages.compare.differences import verdict
from generator.pages.frame import site_colours
from generator.pages.frame.headlines import headlines
from generator.pages.frame.renderer import Renderer
from generator.pages.pictures import link_pictures

SIZES = {"wide": LANDSCAPE, "tall": PORTRAIT}
"""Name within a file's name to size."""
NUMBERS = 4
"""Figures of a still."""
COMPARED = 5
"""Figures of a comparison that have a still each."""
MODULE = 16
"""Side of a module in the picture of the code alone. [px]"""
ON_A_PAGE = "Every figure, and where it comes from:"
TYPICAL = "Drawn for a typical machine, not for one bike."
HOLDS_FOR = {
    "hills.speed_by_grade": "hills.speed_10",
    "range.by_level": "range.{route}",
}
"""Chart to a figure that holds for the same rider."""


@dataclass(frozen=True)
class Picture:
    name: str
    """Of its file."""
    title: str
    data: bytes
    across: int
    down: int
    words: tuple[str, ...] = ()
    """Lines that are set in it."""

    @property
    def alt(self) -> str:
        """What it shows, for those who do not see it."""
        return ": ".join(filter(None, (self.title, " ".join(self.words))))


class Pictures:
    """Makes the pictures of one handout."""

    def __init__(self, renderer: Renderer, subject: Subject, convert: embed.Convert) -> None:
        self._renderer = renderer
        self._subject = subject
        self._convert = convert
        light, _ = site_colours.schemes(renderer.root)
        settings = renderer.settings
        self._frame = Frame(settings.title, subject.address, settings.notice, light)
        self.code: Code = code_of(subject.address)

    def all(self) -> Iterator[Picture]:
        yield from self._code()
        for key, size in SIZES.items():
            yield from self._stills(key, size)
        yield from self._cards()

    def _code(self) -> Iterator[Picture]:
        side = self.code.side * MODULE
        whole = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}" height="{side}" '
            f'viewBox="0 0 {side} {side}">{self.code.group(0, 0, MODULE)}</svg>\n'
        )
        title = "Code of the page"
        yield Picture("code.svg", title, whole.encode(), side, side)
        paper = Paper(Size(side, side), self._frame.scheme)
        paper.shapes.append(self.code.group(0, 0, MODULE))
        yield _picture("code.png", title, paper)

    def _stills(self, key: str, size: Size) -> Iterator[Picture]:
        title = self._subject.title
        numbers = self._numbers(size)
        if numbers:
            yield _picture(f"still-numbers-{key}.png", "The numbers", numbers)
        for name, drawing, condition in self._drawings(size):
            still = chart_still(self._frame, size, name, drawing, condition)
            yield _picture(f"still-{drawing.key}-{key}.png", f"{name}: {drawing.title}", still)
        if self._subject.sort == "comparison":
            yield from self._sides(key, size)
        still = code_still(self._frame, size, title, ON_A_PAGE, self.code)
        yield _picture(f"still-code-{key}.png", "The code of the page", still)

    def _drawings(self, size: Size) -> Iterator[tuple[str, Drawing, str]]:
        """Name to print, drawing and condition of each chart and diagram.

        A diagram too tall for large type in a wide still has a tall one only.
        """
        table, system = self._renderer.table, self._renderer.system
        tallest = chart_room(self._frame, size)
        for name, slug in self._subject.charts:
            drawing = still_charts.chart(table, name, slug, system, self._convert, tallest)
            if drawing:
                yield self._named(slug), drawing, self._holds_for(name, slug)
        for name, slug in self._subject.diagrams:
            drawing = still_charts.diagram(table, name, slug, system)
            if drawing and (size == PORTRAIT or drawing.height <= tallest):
                yield self._named(slug), drawing, "" if slug else TYPICAL

    def _named(self, slug: str) -> str:
        bike = self._renderer.table.bike(slug)
        return bike.full_name if bike else self._subject.title

    def _holds_for(self, chart: str, slug: str) -> str:
        """For whom a chart holds: as a figure like it, without the route and the level that the chart tells itself."""
        route = self._renderer.content.route
        figure = self._renderer.table.get(slug, HOLDS_FOR.get(chart, "").format(route=route.id))
        if figure is None:
            return ""
        parts = [
            part
            for part in figure.conditions.split("; ")
            if not part.startswith(("level ", "highest level")) and part != route.name
        ]
        return _sentence(said("; ".join(parts), self._renderer.content, self._renderer.system))

    def _numbers(self, size: Size) -> Paper | None:
        subject = self._subject
        if subject.sort == "comparison":
            return self._table(size) if self._kinds() else None
        rows = [self._row(figure) for figure in subject.figures[:NUMBERS]]
        return numbers_still(self._frame, size, subject.title, rows) if rows else None

    def _row(self, figure: Figure, basis: bool = True) -> NumberRow:
        system = self._renderer.system
        title = figure.kind.title
        if self._subject.sort == "guide":
            title = f"{self._named(figure.bike)}: {title}"
        span = show.join(show.interval(figure, system), show.unit(figure.kind, system))
        span = span if show.interval(figure, system) else ""
        words = ", ".join(filter(None, (f"likely {span}" if span else "", figure.basis)))
        words = f"at least; {words}" if at_its_limit(figure) else words
        condition = _sentence(spoken(figure, self._renderer.content, system))
        return NumberRow(
            show.text(figure, system), title, words if basis else span or figure.basis, condition
        )

    def _table(self, size: Size, most: int = NUMBERS) -> Paper:
        table, bikes = self._renderer.table, self._subject.bikes
        rows = []
        for kind in self._kinds()[:most]:
            cells = [table.get(bike.slug, kind) for bike in bikes]
            rows.append(
                (
                    table.kinds[kind].title,
                    [self._row(cell, False) if cell else None for cell in cells],
                )
            )
        return table_still(self._frame, size, [bike.full_name for bike in bikes], rows)

    def _kinds(self) -> list[str]:
        """Ids of the main figures that at least two of the bikes have, as they are asked."""
        known = [figure.id for figure in self._subject.figures]
        kinds = headlines(self._renderer.table.kinds.values())
        return [kind.id for kind in kinds if known.count(kind.id) > 1]

    def _sides(self, key: str, size: Size) -> Iterator[Picture]:
        table, bikes, system = self._renderer.table, self._subject.bikes, self._renderer.system
        for id in self._kinds()[:COMPARED]:
            figures = [table.get(bike.slug, id) for bike in bikes]
            known = [figure for figure in figures if figure]
            if len({figure.kind.unit for figure in known}) > 1:  # currencies
                continue
            said_of = verdict(figures, called(bikes)).words
            sides = [
                self._side(bike.full_name, figure)
                for bike, figure in zip(bikes, figures, strict=True)
            ]
            conditions = {spoken(figure, self._renderer.content, system) for figure in known}
            condition = conditions.pop() if len(conditions) == 1 else self._in_common(known)
            title = table.kinds[id].title
            still = sides_still(
                self._frame, size, title, _sentence(said_of), _sentence(condition), sides
            )
            yield _picture(f"still-{id.replace('.', '-')}-{key}.png", title, still)

    def _in_common(self, figures: Sequence[Figure]) -> str:
        """What all figures hold for; each bike's own level is left out."""
        parts = [figure.conditions.split("; ") for figure in figures]
        common = [part for part in parts[0] if all(part in each for each in parts)]
        said_of = said("; ".join(common), self._renderer.content, self._renderer.system)
        return ", ".join(filter(None, (said_of, "each bike in its own level")))

    def _side(self, name: str, figure: Figure | None) -> Side:
        if figure is None:
            return Side(name, "not known", "", None)
        row = self._row(figure)
        factor = show.scale(figure.kind, self._renderer.system).factor
        low, value, high = (each * factor for each in (figure.low, figure.value, figure.high))
        return Side(name, row.value, row.likely, (low, value, high))

    def _cards(self) -> Iterator[Picture]:
        renderer, subject = self._renderer, self._subject
        if subject.sort == "bike":
            figures = link_pictures.key_figures(renderer, subject.bikes[0])
            card = link_pictures.card_of(renderer, subject.title, subject.summary, figures)
        else:
            card = link_pictures.card_of(renderer, subject.title, subject.summary)
        across, down = link_pictures.ACROSS, link_pictures.DOWN
        title = "Card for links"
        yield Picture("card.png", title, link_pictures.drawn(card), across, down)
        yield _picture("card-square.png", f"{title}, square", self._square())

    def _square(self) -> Paper:
        subject = self._subject
        if subject.sort == "comparison" and self._kinds():
            return self._table(SQUARE, 3)
        paper, room = blank(self._frame, SQUARE)
        top = paper.block(subject.title, room, NAME._replace(most=3)) + GAP // 2
        if subject.sort != "bike":
            paper.block(
                subject.summary, room.below(top), FINDING._replace(sizes=(56, 48, 40, 36), most=8)
            )
            return paper
        figures = link_pictures.key_figures(self._renderer, subject.bikes[0])
        each = (room.bottom - top) // max(1, len(figures))
        for place, (value, likely, title) in enumerate(figures):
            box = room._replace(top=top + place * each, bottom=top + (place + 1) * each - GAP // 2)
            paper.rule(box.left, box.right, box.top)
            left, right = box.below(box.top + 12).columns(0.45, GAP)
            paper.block(value, left, Type((92, 80, 68, 56, 48), 1, "serif", "rubric"))
            end = paper.block(title, right, Type((40, 36, 32), 2))
            paper.block(likely, right.below(end), Type((36, 32), 1, "plain", "muted"))
        return paper


def _picture(name: str, title: str, paper: Paper) -> Picture:
    return Picture(name, title, paper.png(), *paper.size, tuple(paper.words))


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}." if words else ""
