"""A bike's figures in the sections of its page: what a beginner asks, in order."""

from dataclasses import dataclass
from typing import NamedTuple

from markupsafe import Markup

from generator.figures.model import Figure
from generator.pages.bike.families import Family, families, place
from generator.pages.bike.traces import Derivation, Inputs, derivation, usual
from generator.pages.frame import cautions, numbers
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike


@dataclass(frozen=True)
class Part:
    """A section of figures: which groups it takes, which come first, which charts it shows."""

    id: str
    title: str
    groups: tuple[str, ...]
    first: tuple[str, ...]
    """Ids of the figures in plain sight, in this order; the rest folds out. `{route}` stands for every route."""
    charts: tuple[tuple[str, str], ...] = ()
    """Name of a chart, and the group whose table by level holds the numbers that it draws (or empty)."""


PARTS = (
    Part(
        "feel",
        "How it feels",
        ("assist", "motor"),
        (
            "assist.take_up_angle",
            "assist.launch_time",
            "assist.follow_slope",
            "assist.share",
            "assist.wall",
            "assist.run_on_distance",
        ),
        (("assist.motor_by_rider", ""), ("assist.launch", "")),
    ),
    Part(
        "far",
        "How far it goes",
        ("range", "energy", "speed"),
        ("range.{route}", "range.two_hundred"),
        (("range.by_level", "range"),),
    ),
    Part(
        "steep",
        "How steep it climbs",
        ("hills",),
        ("hills.steepest", "hills.restart", "hills.speed_10"),
        (("hills.speed_by_grade", ""),),
    ),
    Part(
        "gears",
        "How the gears fit",
        ("gears",),
        (
            "gears.spin_out_margin",
            "gears.comfortable_speed",
            "gears.spin_out_speed",
            "gears.walking_cadence",
        ),
        (("gears.cadence_by_speed", ""),),
    ),
    Part(
        "cost",
        "What it costs to run",
        ("battery",),
        ("battery.cost_100km", "battery.charge_cost", "battery.charge_time", "battery.energy"),
    ),
)
ELSEWHERE = ("spec", "claims")
"""Groups that stand in sections of their own."""
STATED = "stated"
"""Formula of a figure that is taken as somebody states it; the table of stated values names the source."""


class Line(NamedTuple):
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
    """In plain sight."""
    rest: list[Line]
    families: list[Family]
    """The same quantity for other riders, routes and levels."""
    folded: int
    """How many figures stand in `rest` and `families`."""
    charts: list[Markup]
    cautions: tuple[str, ...]


class BikeFigures:
    """The figures of one bike for its page, each shown once with its working."""

    def __init__(self, renderer: Renderer, bike: Bike, path: str) -> None:
        self.inputs = Inputs()
        self._renderer, self._bike, self._path = renderer, bike, path
        self._usual = usual(renderer, bike.slug)
        self._figures = list(renderer.table.of(bike.slug).values())

    def sections(self) -> list[Section]:
        """The sections that have something to say, in the page's order."""
        known = {group for part in PARTS for group in part.groups} | set(ELSEWHERE)
        others = tuple(sorted({figure.kind.group for figure in self._figures} - known))
        parts = (*PARTS, Part("others", "Other figures", others, ())) if others else PARTS
        found = map(self._section, parts)
        return [section for section in found if section.lines or section.folded]

    def group(self, name: str) -> dict[str, Line]:
        """All figures of one group, by id."""
        own = [figure for figure in self._figures if figure.kind.group == name]
        return {figure.id: self._line(figure) for figure in own}

    def _section(self, part: Part) -> Section:
        own = [figure for figure in self._figures if figure.kind.group in part.groups]
        more = families(self._renderer, self._bike, self._path, self.inputs, own)
        single = {figure.id: figure for figure in own if place(self._renderer, figure) is None}
        first = [id for id in self._ids(part.first) if id in single] or list(single)
        rest = [id for id in single if id not in first]
        drawn = {family.id for family in more}
        charts = [
            self._renderer.chart(
                self._bike.slug,
                name,
                numbers_in=table if (table := f"family-{group}-level") in drawn else "",
            )
            for name, group in part.charts
        ]
        return Section(
            part.id,
            part.title,
            [self._line(single[id]) for id in first],
            [self._line(single[id]) for id in rest],
            more,
            len(rest) + sum(family.count for family in more),
            [chart for chart in charts if chart],
            cautions.beside(part.id, self._bike),
        )

    def _ids(self, templates: tuple[str, ...]) -> list[str]:
        routes = [route.id for route in self._renderer.content.routes]
        return [
            template.replace("{route}", route)
            for template in templates
            for route in (routes if "{route}" in template else [""])
        ]

    def _line(self, figure: Figure) -> Line:
        number = self._renderer.number(figure, self._path, interval=True, linked=False)
        if figure.kind.formula == STATED:
            words = figure.sentence or figure.basis.capitalize()
            return Line(figure.kind.title, number, words, None, numbers.anchor(figure.id))
        return Line(
            figure.kind.title,
            number,
            figure.sentence,
            derivation(self._renderer, figure, self.inputs, self._path, self._usual),
        )
