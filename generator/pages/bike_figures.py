"""A bike's figures in the sections of its page: what a beginner asks, in order."""

from dataclasses import dataclass

from markupsafe import Markup

from generator.figures.model import Figure
from generator.pages import cautions
from generator.pages.bike_traces import Derivation, Inputs, derivation
from generator.pages.press import Press
from generator.specs.bike import Bike


@dataclass(frozen=True)
class Part:
    """A section of figures: which groups it takes and which chart it shows."""

    id: str
    title: str
    groups: tuple[str, ...]
    chart: str | None = None


PARTS = (
    Part("feel", "How it feels", ("assist", "motor")),
    Part("far", "How far it goes", ("range", "energy", "speed"), "range.by_level"),
    Part("steep", "How steep it climbs", ("hills",), "hills.speed_by_grade"),
    Part("gears", "How the gears fit", ("gears",)),
    Part("cost", "What it costs to run", ("battery",)),
)
ELSEWHERE = ("spec", "claims")
"""Groups that stand in sections of their own."""


@dataclass(frozen=True)
class Line:
    """One figure as a reader meets it; the working folds out below it."""

    title: str
    number: Markup
    sentence: str
    working: Derivation | None


@dataclass(frozen=True)
class Section:
    id: str
    title: str
    lines: list[Line]
    more: list[Line]
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
            for figure in self._figures
            if figure.kind.headline
        ]

    def sections(self) -> list[Section]:
        """The sections that have something to say, in the page's order."""
        known = {group for part in PARTS for group in part.groups} | set(ELSEWHERE)
        others = tuple(sorted({figure.kind.group for figure in self._figures} - known))
        parts = (*PARTS, Part("others", "Other figures", others)) if others else PARTS
        found = map(self._section, parts)
        return [section for section in found if section.lines or section.more]

    def group(self, name: str) -> list[Line]:
        """All figures of one group."""
        return [self._line(figure) for figure in self._figures if figure.kind.group == name]

    def _section(self, part: Part) -> Section:
        own = [figure for figure in self._figures if figure.kind.group in part.groups]
        chart = self._press.chart(self._bike.slug, part.chart) if part.chart else Markup("")
        return Section(
            part.id,
            part.title,
            [self._line(figure) for figure in own if figure.id.count(".") == 1],
            [self._line(figure, brief=True) for figure in own if figure.id.count(".") > 1],
            chart,
            cautions.beside(part.id, self._bike),
        )

    def _line(self, figure: Figure, *, brief: bool = False) -> Line:
        return Line(
            figure.kind.title,
            self._press.number(figure, self._path, interval=True, linked=False),
            figure.sentence,
            derivation(self._press, figure, self._path, self.inputs, brief=brief),
        )
