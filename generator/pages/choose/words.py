"""The chooser's sentences: templates of `choosing_tables.py` with numbers and links put in, as HTML.

templates/scripts/choose_words.js writes the same in the browser.
"""

import math
import re
from collections.abc import Callable

from markupsafe import Markup

from generator.figures import show, units
from generator.figures.chooser.answers import Asked
from generator.figures.chooser.model import Answers, Candidate, Chooser, Fit
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
from generator.figures.model import Figure, Kind, Unit
from generator.pages.frame import numbers

SLOT = re.compile(r"\{(\w+)\}")


class Words:
    """Sentences for one set of answers. `link` gives the address of a figure of a bike."""

    def __init__(
        self,
        chooser: Chooser,
        answers: Answers,
        first: show.System,
        link: Callable[[str, str], str],
    ) -> None:
        self.chooser = chooser
        self.answers = answers
        self.asked = Asked(chooser, answers)
        self.first = first
        self.link = link

    def reason(self, bike: Candidate, fit: Fit) -> Markup:
        """How far a bike meets a wish."""
        wish = fit.wish
        if fit.measure is None:
            return Markup.escape(UNKNOWN.replace("{title}", wish.title))
        template = (
            wish.good if fit.fit >= GOOD else wish.middling if fit.fit >= MIDDLING else wish.poor
        )
        return self._filled(template, bike, fit)

    def doubt(self, bike: Candidate, must: str) -> Markup:
        """That nothing is known of a must-have."""
        return self._filled(DOUBTS[must], bike)

    def missed(self, bike: Candidate, must: str) -> Markup:
        """Why a bike is left out."""
        return self._filled(MUSTS[must], bike)

    def apart(self, bike: Candidate, why: str) -> Markup:
        return self._filled(APART[why], bike)

    def money(self, amount: float) -> str:
        """A price in the currency of the site, without cents when whole."""
        return show.join(show.money(amount), self.chooser.currency)

    def _filled(self, template: str, bike: Candidate, fit: Fit | None = None) -> Markup:
        parts = [
            self._slot(part, bike, fit) if place % 2 else Markup.escape(part)
            for place, part in enumerate(SLOT.split(template))
        ]
        return Markup("").join(parts)

    def _slot(self, name: str, bike: Candidate, fit: Fit | None) -> Markup:
        asked, answers = self.asked, self.answers
        if name == "value" and fit:
            return self._value(bike, fit)
        if name == "trips" and fit and fit.measure is not None:
            return Markup.escape(str(math.floor(fit.measure)))
        if name == "trip":
            return self._number(ROUND_DISTANCE, asked.trip)
        if name == "where":
            return Markup.escape(asked.road.name)
        if name == "need":
            return self._number(units.GRADE, asked.road.grade)
        if name == "load":
            return self._number(ROUND_MASS, asked.load)
        if name == "total":
            return self._number(units.MASS, asked.total(bike) or 0.0)
        if name == "permitted":
            return self._number(units.MASS, bike.permitted or 0.0)
        if name == "racks":
            return self._number(units.MASS, asked.racks(bike) or 0.0)
        if name == "mass":
            return self._number(units.MASS, bike.mass or 0.0)
        if name == "price":
            return Markup.escape(self.money(bike.price or 0.0))
        if name == "budget":
            return Markup.escape(self.money(float(answers.budget)))
        if name == "range":
            return self._range(bike)
        if name == "category":
            return Markup.escape(bike.law[answers.law])
        if name == "region":
            return Markup.escape(asked.region.name)
        if name == "currency":
            return Markup.escape(bike.currency)
        raise KeyError(name)

    def _value(self, bike: Candidate, fit: Fit) -> Markup:
        """The figure behind a wish, linked to its derivation."""
        wish = fit.wish
        if wish.id == "reach":
            shown = self._range(bike)
        elif wish.id == "climb":
            held = self.asked.grade(bike) or 0.0
            low, high = bike.grade_span
            shown = self._number(wish.unit, held, held * low, held * high)
        elif wish.id == "cost":
            shown = Markup.escape(self.money(bike.price or 0.0))
        elif wish.figure in bike.figures:
            shown = self._number(wish.unit, *bike.figures[wish.figure])
        else:
            shown = self._number(wish.unit, fit.measure or 0.0)
        id = wish.figure.replace("{route}", self.answers.hills)
        return numbers.led_to(shown, self.link(bike.slug, id))

    def _range(self, bike: Candidate) -> Markup:
        reach = self.asked.distance(bike) or 0.0
        low, high = bike.range_spans[self.answers.hills]
        return self._number(units.DISTANCE, reach, reach * low, reach * high)

    def _number(
        self, unit: Unit, value: float, low: float | None = None, high: float | None = None
    ) -> Markup:
        """A number in both systems; with an interval, the interval alone: `likely 36–52 km`."""
        figure = Figure(
            "",
            Kind("", "", "", "", unit, "", "", "", ""),
            value,
            value if low is None else low,
            value if high is None else high,
            "computed",
            "",
        )
        likely = numbers.likely_html(figure, first=self.first)
        return likely or numbers.value_html(figure, first=self.first)
