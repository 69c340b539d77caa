"""The sections of figures on a bike's page, in the order of a beginner's questions."""

from dataclasses import dataclass
from typing import NamedTuple

from markupsafe import Markup

from generator.figures.model import Figure
from generator.pages.bike.families import FigureFamily, build_families, find_family
from generator.pages.bike.traces import (
    Derivation,
    NumberedInputs,
    build_derivation,
    find_usual_conditions,
)
from generator.pages.frame import numbers
from generator.pages.frame.renderer import Renderer
from generator.pages.notices import cautions
from generator.specs.bike import Bike


@dataclass(frozen=True)
class SectionDefinition:
    """Definition of a section: its groups of figures, which of them come first, and its charts."""

    id: str
    title: str
    groups: tuple[str, ...]
    first: tuple[str, ...]
    """Ids of the figures that are always visible, in order; the rest folds out. `{route}` means every route."""
    charts: tuple[tuple[str, str], ...] = ()
    """Names of charts, each with the group whose table by level holds its numbers (or empty)."""


SECTION_DEFINITIONS = (
    SectionDefinition(
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
    SectionDefinition(
        "far",
        "How far it goes",
        ("range", "energy", "speed"),
        ("range.{route}", "range.two_hundred"),
        (("range.by_level", "range"),),
    ),
    SectionDefinition(
        "steep",
        "How steep it climbs",
        ("hills",),
        ("hills.steepest", "hills.restart", "hills.speed_10"),
        (("hills.speed_by_grade", ""),),
    ),
    SectionDefinition(
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
    SectionDefinition(
        "cost",
        "What it costs to run",
        ("battery",),
        ("battery.cost_100km", "battery.charge_cost", "battery.charge_time", "battery.energy"),
    ),
)
ELSEWHERE = ("spec", "claims")
"""Groups with sections of their own elsewhere on the page."""
STATED = "stated"
"""Formula of a figure that is a stated value; the table of stated values names the source."""


class FigureLine(NamedTuple):
    """A figure on the page; the working folds out below it."""

    title: str
    number: Markup
    sentence: str
    working: Derivation | None
    anchor: str = ""
    """Id on the page of a stated figure, which needs no working."""


@dataclass(frozen=True)
class Section:
    """A section of the page."""

    id: str
    title: str
    lines: list[FigureLine]
    """Figures that are always visible."""
    rest: list[FigureLine]
    """Figures that fold out."""
    families: list[FigureFamily]
    """Tables of figures for other riders, routes and levels, which fold out."""
    folded: int
    """Number of figures in `rest` and `families`."""
    charts: list[Markup]
    cautions: tuple[str, ...]


class BikeFigures:
    """The figures of one bike for its page, each shown once with its working."""

    def __init__(self, renderer: Renderer, bike: Bike, path: str) -> None:
        self.inputs = NumberedInputs()
        self._renderer, self._bike, self._path = renderer, bike, path
        self._usual = find_usual_conditions(renderer, bike.slug)
        self._figures = list(renderer.table.figures_of(bike.slug).values())

    def build_sections(self) -> list[Section]:
        """Return the sections that are not empty, in the page's order."""
        known = {group for part in SECTION_DEFINITIONS for group in part.groups} | set(ELSEWHERE)
        others = tuple(sorted({figure.kind.group for figure in self._figures} - known))
        parts = (
            (*SECTION_DEFINITIONS, SectionDefinition("others", "Other figures", others, ()))
            if others
            else SECTION_DEFINITIONS
        )
        found = map(self._build_section, parts)
        return [section for section in found if section.lines or section.folded]

    def build_group(self, name: str) -> dict[str, FigureLine]:
        """Return all figures of one group, by id."""
        own = [figure for figure in self._figures if figure.kind.group == name]
        return {figure.id: self._make_line(figure) for figure in own}

    def _build_section(self, part: SectionDefinition) -> Section:
        own = [figure for figure in self._figures if figure.kind.group in part.groups]
        more = build_families(self._renderer, self._bike, self._path, self.inputs, own)
        single = {
            figure.id: figure for figure in own if find_family(self._renderer, figure) is None
        }
        first = [id for id in self._expand_ids(part.first) if id in single] or list(single)
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
            [self._make_line(single[id]) for id in first],
            [self._make_line(single[id]) for id in rest],
            more,
            len(rest) + sum(family.count for family in more),
            [chart for chart in charts if chart],
            cautions.find_cautions(part.id, self._bike),
        )

    def _expand_ids(self, templates: tuple[str, ...]) -> list[str]:
        routes = [route.id for route in self._renderer.content.routes]
        return [
            template.replace("{route}", route)
            for template in templates
            for route in (routes if "{route}" in template else [""])
        ]

    def _make_line(self, figure: Figure) -> FigureLine:
        number = self._renderer.number(figure, self._path, interval=True, linked=False)
        if figure.kind.formula == STATED:
            words = figure.sentence or figure.basis.capitalize()
            return FigureLine(
                figure.kind.title, number, words, None, numbers.figure_anchor(figure.id)
            )
        return FigureLine(
            figure.kind.title,
            number,
            figure.sentence,
            build_derivation(self._renderer, figure, self.inputs, self._path, self._usual),
        )
