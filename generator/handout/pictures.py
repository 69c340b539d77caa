"""Pictures of a handout: stills, cards for links, and the QR code alone."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from generator.charts import embed
from generator.figures import show
from generator.figures.model import Figure
from generator.handout import still_charts
from generator.handout.codes import QrCode, make_code
from generator.handout.conditions import is_at_limit, say_conditions, say_written_conditions
from generator.handout.paper import LANDSCAPE, PORTRAIT, SQUARE, PictureSize, StillCanvas, TextStyle
from generator.handout.still_charts import StillDrawing
from generator.handout.still_sides import ComparedBike, draw_comparison_still, draw_table_still
from generator.handout.stills import (
    FINDING,
    GAP,
    NAME,
    NumberRow,
    StillFrame,
    draw_chart_still,
    draw_code_still,
    draw_numbers_still,
    find_chart_room,
    start_still,
)
from generator.handout.subject import HandoutSubject
from generator.pages.compare.comparison import shorten_names
from generator.pages.compare.differences import compare_figures
from generator.pages.frame import site_colours
from generator.pages.frame.headlines import select_headlines
from generator.pages.frame.renderer import Renderer
from generator.pages.pictures import draw_picture, link_pictures

SIZES = {"wide": LANDSCAPE, "tall": PORTRAIT}
"""Sizes of stills, by their part of a file's name."""
NUMBERS = 4
"""Most figures in a still."""
COMPARED = 5
"""Most figures of a comparison that have a still each."""
MODULE = 16
"""Side of a module in the picture of the QR code alone. [px]"""
ON_A_PAGE = "Every figure, and where it comes from:"
TYPICAL = "Drawn for a typical machine, not for one bike."
HOLDS_FOR = {
    "hills.speed_by_grade": "hills.speed_10",
    "range.by_level": "range.{route}",
}
"""Figure that holds for the same rider as a chart, by the chart's name."""


@dataclass(frozen=True)
class HandoutPicture:
    """One picture file of a handout."""

    name: str
    """Name of its file."""
    title: str
    data: bytes
    across: int
    """Width. [px]"""
    down: int
    """Height. [px]"""
    words: tuple[str, ...] = ()
    """Lines of words in it."""

    @property
    def alt(self) -> str:
        """Its text alternative."""
        return ": ".join(filter(None, (self.title, " ".join(self.words))))


class PictureMaker:
    """Draws the pictures of one handout."""

    def __init__(
        self, renderer: Renderer, subject: HandoutSubject, convert: embed.VegaDrawing
    ) -> None:
        self._renderer = renderer
        self._subject = subject
        self._convert = convert
        light, _ = site_colours.read_schemes(renderer.root)
        settings = renderer.settings
        self._frame = StillFrame(settings.title, subject.address, settings.notice, light)
        self.code: QrCode = make_code(subject.address)

    def draw_all(self) -> Iterator[HandoutPicture]:
        yield from self._draw_code()
        for key, size in SIZES.items():
            yield from self._draw_stills(key, size)
        yield from self._draw_cards()

    def _draw_code(self) -> Iterator[HandoutPicture]:
        side = self.code.side * MODULE
        whole = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}" height="{side}" '
            f'viewBox="0 0 {side} {side}">{self.code.draw_group(0, 0, MODULE)}</svg>\n'
        )
        title = "Code of the page"
        yield HandoutPicture("code.svg", title, whole.encode(), side, side)
        canvas = StillCanvas(PictureSize(side, side), self._frame.scheme)
        canvas.shapes.append(self.code.draw_group(0, 0, MODULE))
        yield _finish_picture("code.png", title, canvas)

    def _draw_stills(self, key: str, size: PictureSize) -> Iterator[HandoutPicture]:
        title = self._subject.title
        numbers = self._draw_numbers(size)
        if numbers:
            yield _finish_picture(f"still-numbers-{key}.png", "The numbers", numbers)
        for name, drawing, condition in self._list_drawings(size):
            still = draw_chart_still(self._frame, size, name, drawing, condition)
            yield _finish_picture(
                f"still-{drawing.key}-{key}.png", f"{name}: {drawing.title}", still
            )
        if self._subject.sort == "comparison":
            yield from self._draw_comparisons(key, size)
        still = draw_code_still(self._frame, size, title, ON_A_PAGE, self.code)
        yield _finish_picture(f"still-code-{key}.png", "The code of the page", still)

    def _list_drawings(self, size: PictureSize) -> Iterator[tuple[str, StillDrawing, str]]:
        """Name to print, drawing and condition of each chart and diagram.

        A diagram too tall for large type in a wide still gets a tall one only.
        """
        table, system = self._renderer.table, self._renderer.system
        tallest = find_chart_room(self._frame, size)
        for name, slug in self._subject.charts:
            drawing = still_charts.draw_chart(table, name, slug, system, self._convert, tallest)
            if drawing:
                yield self._name_of(slug), drawing, self._describe_rider(name, slug)
        for name, slug in self._subject.diagrams:
            drawing = still_charts.draw_diagram(table, name, slug, system)
            if drawing and (size == PORTRAIT or drawing.height <= tallest):
                yield self._name_of(slug), drawing, "" if slug else TYPICAL

    def _name_of(self, slug: str) -> str:
        bike = self._renderer.table.bike(slug)
        return bike.full_name if bike else self._subject.title

    def _describe_rider(self, chart: str, slug: str) -> str:
        """The rider that a chart holds for, from a like figure's conditions without route and level, which the chart shows."""
        route = self._renderer.content.route
        figure = self._renderer.table.get(slug, HOLDS_FOR.get(chart, "").format(route=route.id))
        if figure is None:
            return ""
        parts = [
            part
            for part in figure.conditions.split("; ")
            if not part.startswith(("level ", "highest level")) and part != route.name
        ]
        return _to_sentence(
            say_written_conditions("; ".join(parts), self._renderer.content, self._renderer.system)
        )

    def _draw_numbers(self, size: PictureSize) -> StillCanvas | None:
        subject = self._subject
        if subject.sort == "comparison":
            return self._draw_table(size) if self._list_compared_ids() else None
        rows = [self._build_number_row(figure) for figure in subject.figures[:NUMBERS]]
        return draw_numbers_still(self._frame, size, subject.title, rows) if rows else None

    def _build_number_row(self, figure: Figure, basis: bool = True) -> NumberRow:
        system = self._renderer.system
        title = figure.kind.title
        if self._subject.sort == "guide":
            title = f"{self._name_of(figure.bike)}: {title}"
        span = show.join_unit(
            show.format_interval(figure, system), show.get_unit_symbol(figure.kind, system)
        )
        span = span if show.format_interval(figure, system) else ""
        words = ", ".join(filter(None, (f"likely {span}" if span else "", figure.basis)))
        words = f"at least; {words}" if is_at_limit(figure) else words
        condition = _to_sentence(say_conditions(figure, self._renderer.content, system))
        return NumberRow(
            show.format_figure(figure, system),
            title,
            words if basis else span or figure.basis,
            condition,
        )

    def _draw_table(self, size: PictureSize, most: int = NUMBERS) -> StillCanvas:
        table, bikes = self._renderer.table, self._subject.bikes
        rows = []
        for kind in self._list_compared_ids()[:most]:
            cells = [table.get(bike.slug, kind) for bike in bikes]
            rows.append(
                (
                    table.kinds[kind].title,
                    [self._build_number_row(cell, False) if cell else None for cell in cells],
                )
            )
        return draw_table_still(self._frame, size, [bike.full_name for bike in bikes], rows)

    def _list_compared_ids(self) -> list[str]:
        """Ids of the main figures that at least two of the bikes have, in the usual order."""
        known = [figure.id for figure in self._subject.figures]
        kinds = select_headlines(self._renderer.table.kinds.values())
        return [kind.id for kind in kinds if known.count(kind.id) > 1]

    def _draw_comparisons(self, key: str, size: PictureSize) -> Iterator[HandoutPicture]:
        table, bikes, system = self._renderer.table, self._subject.bikes, self._renderer.system
        for id in self._list_compared_ids()[:COMPARED]:
            figures = [table.get(bike.slug, id) for bike in bikes]
            known = [figure for figure in figures if figure]
            if len({figure.kind.unit for figure in known}) > 1:  # currencies
                continue
            said_of = compare_figures(figures, shorten_names(bikes)).words
            sides = [
                self._build_side(bike.full_name, figure)
                for bike, figure in zip(bikes, figures, strict=True)
            ]
            conditions = {
                say_conditions(figure, self._renderer.content, system) for figure in known
            }
            condition = (
                conditions.pop() if len(conditions) == 1 else self._find_common_conditions(known)
            )
            title = table.kinds[id].title
            still = draw_comparison_still(
                self._frame, size, title, _to_sentence(said_of), _to_sentence(condition), sides
            )
            yield _finish_picture(f"still-{id.replace('.', '-')}-{key}.png", title, still)

    def _find_common_conditions(self, figures: Sequence[Figure]) -> str:
        """Conditions that all figures share, with a remark that each bike has its own level."""
        parts = [figure.conditions.split("; ") for figure in figures]
        common = [part for part in parts[0] if all(part in each for each in parts)]
        said_of = say_written_conditions(
            "; ".join(common), self._renderer.content, self._renderer.system
        )
        return ", ".join(filter(None, (said_of, "each bike in its own level")))

    def _build_side(self, name: str, figure: Figure | None) -> ComparedBike:
        if figure is None:
            return ComparedBike(name, "not known", "", None)
        row = self._build_number_row(figure)
        factor = show.get_scale(figure.kind, self._renderer.system).factor
        low, value, high = (each * factor for each in (figure.low, figure.value, figure.high))
        return ComparedBike(name, row.value, row.likely, (low, value, high))

    def _draw_cards(self) -> Iterator[HandoutPicture]:
        renderer, subject = self._renderer, self._subject
        if subject.sort == "bike":
            figures = link_pictures.list_key_figures(renderer, subject.bikes[0])
            card = link_pictures.make_picture_content(
                renderer, subject.title, subject.summary, figures
            )
        else:
            card = link_pictures.make_picture_content(renderer, subject.title, subject.summary)
        across, down = draw_picture.ACROSS, draw_picture.DOWN
        title = "Card for links"
        yield HandoutPicture("card.png", title, draw_picture.draw_picture(card), across, down)
        yield _finish_picture("card-square.png", f"{title}, square", self._draw_square_card())

    def _draw_square_card(self) -> StillCanvas:
        subject = self._subject
        if subject.sort == "comparison" and self._list_compared_ids():
            return self._draw_table(SQUARE, 3)
        canvas, room = start_still(self._frame, SQUARE)
        top = canvas.set_block(subject.title, room, NAME._replace(most=3)) + GAP // 2
        if subject.sort != "bike":
            canvas.set_block(
                subject.summary, room.below(top), FINDING._replace(sizes=(56, 48, 40, 36), most=8)
            )
            return canvas
        figures = link_pictures.list_key_figures(self._renderer, subject.bikes[0])
        each = (room.bottom - top) // max(1, len(figures))
        for place, (value, likely, title) in enumerate(figures):
            box = room._replace(top=top + place * each, bottom=top + (place + 1) * each - GAP // 2)
            canvas.draw_rule(box.left, box.right, box.top)
            left, right = box.below(box.top + 12).split_columns(0.45, GAP)
            canvas.set_block(value, left, TextStyle((92, 80, 68, 56, 48), 1, "serif", "rubric"))
            end = canvas.set_block(title, right, TextStyle((40, 36, 32), 2))
            canvas.set_block(likely, right.below(end), TextStyle((36, 32), 1, "plain", "muted"))
        return canvas


def _finish_picture(name: str, title: str, canvas: StillCanvas) -> HandoutPicture:
    return HandoutPicture(name, title, canvas.to_png(), *canvas.size, tuple(canvas.words))


def _to_sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}." if words else ""
