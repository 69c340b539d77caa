"""The chooser's sentences as HTML: templates of `chooser.rule` and `chooser.wishes` filled with numbers and links.

templates/scripts/choose_words.js fills the same templates in the browser.
"""

import math
import re
from collections.abc import Callable

from markupsafe import Markup

from generator.figures import show, units
from generator.figures.chooser.answers import ResolvedAnswers
from generator.figures.chooser.model import Candidate, Chooser, ChooserAnswers, WishFit
from generator.figures.chooser.rule import (
    APART,
    DOUBTS,
    GOOD,
    MIDDLING,
    MUSTS,
    ROUND_DISTANCE,
    ROUND_MASS,
    UNKNOWN,
)
from generator.figures.model import Figure, FigureKind, Unit
from generator.pages.frame import numbers

SLOT = re.compile(r"\{(\w+)\}")


class SentenceWriter:
    """Sentences for one set of answers. `link` returns the address of a figure from a bike's slug and the figure's id."""

    def __init__(
        self,
        chooser: Chooser,
        answers: ChooserAnswers,
        first: show.UnitSystem,
        link: Callable[[str, str], str],
    ) -> None:
        self.chooser = chooser
        self.answers = answers
        self.resolved = ResolvedAnswers(chooser, answers)
        self.first = first
        self.link = link

    def write_reason(self, bike: Candidate, fit: WishFit) -> Markup:
        """How far a bike meets a wish."""
        wish = fit.wish
        if fit.measure is None:
            return Markup.escape(UNKNOWN.replace("{title}", wish.title))
        template = (
            wish.good if fit.fit >= GOOD else wish.middling if fit.fit >= MIDDLING else wish.poor
        )
        return self._fill_template(template, bike, fit)

    def write_doubt(self, bike: Candidate, must: str) -> Markup:
        """What is not known about a must-have."""
        return self._fill_template(DOUBTS[must], bike)

    def write_missed(self, bike: Candidate, must: str) -> Markup:
        """Why a bike is left out."""
        return self._fill_template(MUSTS[must], bike)

    def write_apart(self, bike: Candidate, why: str) -> Markup:
        """Why a bike is listed apart from the ranking."""
        return self._fill_template(APART[why], bike)

    def format_money(self, amount: float) -> str:
        """A price in the currency of the site, without cents when whole."""
        return show.join_unit(show.format_amount(amount), self.chooser.currency)

    def _fill_template(self, template: str, bike: Candidate, fit: WishFit | None = None) -> Markup:
        parts = [
            self._fill_slot(part, bike, fit) if place % 2 else Markup.escape(part)
            for place, part in enumerate(SLOT.split(template))
        ]
        return Markup("").join(parts)

    def _fill_slot(self, name: str, bike: Candidate, fit: WishFit | None) -> Markup:
        resolved, answers = self.resolved, self.answers
        if name == "value" and fit:
            return self._render_value(bike, fit)
        if name == "trips" and fit and fit.measure is not None:
            return Markup.escape(str(math.floor(fit.measure)))
        if name == "trip":
            return self._render_number(ROUND_DISTANCE, resolved.trip)
        if name == "where":
            return Markup.escape(resolved.route.name)
        if name == "need":
            return self._render_number(units.GRADE, resolved.route.grade)
        if name == "load":
            return self._render_number(ROUND_MASS, resolved.load)
        if name == "total":
            return self._render_number(units.MASS, resolved.add_masses(bike) or 0.0)
        if name == "permitted":
            return self._render_number(units.MASS, bike.permitted or 0.0)
        if name == "racks":
            return self._render_number(units.MASS, resolved.find_rack_load(bike) or 0.0)
        if name == "mass":
            return self._render_number(units.MASS, bike.mass or 0.0)
        if name == "price":
            return Markup.escape(self.format_money(bike.price or 0.0))
        if name == "budget":
            return Markup.escape(self.format_money(float(answers.budget)))
        if name == "range":
            return self._render_range(bike)
        if name == "category":
            return Markup.escape(bike.law[answers.law])
        if name == "region":
            return Markup.escape(resolved.region.name)
        if name == "currency":
            return Markup.escape(bike.currency)
        raise KeyError(name)

    def _render_value(self, bike: Candidate, fit: WishFit) -> Markup:
        """The figure that measures a wish, linked to its derivation."""
        wish = fit.wish
        if wish.id == "reach":
            shown = self._render_range(bike)
        elif wish.id == "climb":
            held = self.resolved.find_grade(bike) or 0.0
            low, high = bike.grade_span
            shown = self._render_number(wish.unit, held, held * low, held * high)
        elif wish.id == "cost":
            shown = Markup.escape(self.format_money(bike.price or 0.0))
        elif wish.figure in bike.figures:
            shown = self._render_number(wish.unit, *bike.figures[wish.figure])
        else:
            shown = self._render_number(wish.unit, fit.measure or 0.0)
        id = wish.figure.replace("{route}", self.answers.hills)
        return numbers.link_figure(shown, self.link(bike.slug, id))

    def _render_range(self, bike: Candidate) -> Markup:
        reach = self.resolved.find_range(bike) or 0.0
        low, high = bike.range_spans[self.answers.hills]
        return self._render_number(units.DISTANCE, reach, reach * low, reach * high)

    def _render_number(
        self, unit: Unit, value: float, low: float | None = None, high: float | None = None
    ) -> Markup:
        """A number in both unit systems; if it has an interval, only the interval, such as `likely 36–52 km`."""
        figure = Figure(
            "",
            FigureKind("", "", "", "", unit, "", "", "", ""),
            value,
            value if low is None else low,
            value if high is None else high,
            "computed",
            "",
        )
        likely = numbers.likely_html(figure, first=self.first)
        return likely or numbers.value_html(figure, first=self.first)
