"""A bike's figures in the sections of its page: what a beginner asks, in order."""

from dataclasses import dataclass

from markupsafe import Markup

from generator.figures.model import Figure
from generator.pages import cautions, numbers
from generator.pages.bike_families import Family, families, place
from generator.pages.bike_traces import Derivation, Inputs, derivation
from generator.pages.headlines import headlines
from generator.pages.press import Press
from generator.specs.bike import Bike


@dataclass(frozen=True)
class Part:
    """A section of figures: which groups it takes and which chart it shows."""

    id: str
    title: str
    groups: tuple[str, ...]
    chart: str | None = None
    chart_of: str = ""
    """Group whose table by level holds the numbers that the chart draws."""


PARTS = (
    Part("feel", "How it feels", ("assist", "motor")),
    Part("far", "How far it goes", ("range", "energy", "speed"), "range.by_level", "range"),
    Part("steep", "How steep it climbs", ("hills",), "hills.speed_by_grade"),
    Part("gears", "How the gears fit", ("gears",)),
    Part("cost", "What it costs to run", ("battery",)),
)
ELSEWHERE = ("spec", "claims")
"""Groups that stand in sections of their own."""
STATED = "stated"
"""Formula of a figure that is taken as somebody states it; the table of stated values names the source."""


@dataclass(frozen=True)
class Line:
    """One figure as a reader meets it; the working folds out below it."""

    title: str
    number: Markup
    sentence: str
    working: Derivation | None
    anchor: str = ""
    """Of a figure that is stated as it stands and so needs no working."""


@dataclass(frozen=True)
class Section:
    id: str
    title: str
    lines: list[Line]
    more: list[Family]
    """The same quantity for other riders, routes and levels."""
    chart: Markup
    cautions: tuple[str, ...]


class BikeFigures:
    """The figures of one bike for its page, each shown once with its working."""

    def __init__(self, press: Press, bike: Bike, path: str) -> None:
        self.inputs = Inputs()
        self._press, self._bike, self._path = press, bike, path
        self._figures = list(press.table.of(bike.slug).values())

    def headlines(self) -> list[Line]:
        """The few figures at the top of the page, linked to their workings further down."""
        return [
            Line(figure.kind.title, self._press.number(figure, self._path), figure.sentence, None)
            for kind in headlines(figure.kind for figure in self._figures)
            if (figure := self._press.table.get(self._bike.slug, kind.id))
        ]

    def sections(self) -> list[Section]:
        """The sections that have something to say, in the page's order."""
        known = {group for part in PARTS for group in part.groups} | set(ELSEWHERE)
        others = tuple(sorted({figure.kind.group for figure in self._figures} - known))
        parts = (*PARTS, Part("others", "Other figures", others)) if others else PARTS
        found = map(self._section, parts)
        return [section for section in found if section.lines or section.more]

    def group(self, name: str) -> dict[str, Line]:
        """All figures of one group, by id."""
        own = [figure for figure in self._figures if figure.kind.group == name]
        return {figure.id: self._line(figure) for figure in own}

    def _section(self, part: Part) -> Section:
        own = [figure for figure in self._figures if figure.kind.group in part.groups]
        more = families(self._press, self._bike, self._path, self.inputs, own)
        drawn = [family.id for family in more if family.id == f"family-{part.chart_of}-level"]
        chart = Markup("")
        if part.chart:
            chart = self._press.chart(self._bike.slug, part.chart, numbers_in="".join(drawn))
        return Section(
            part.id,
            part.title,
            [self._line(figure) for figure in own if place(self._press, figure) is None],
            more,
            chart,
            cautions.beside(part.id, self._bike),
        )

    def _line(self, figure: Figure) -> Line:
        number = self._press.number(figure, self._path, interval=True, linked=False)
        if figure.kind.formula == STATED:
            words = figure.sentence or figure.basis.capitalize()
            return Line(figure.kind.title, number, words, None, numbers.anchor(figure.id))
        return Line(
            figure.kind.title,
            number,
            figure.sentence,
            derivation(self._press, figure, self.inputs),
        )
