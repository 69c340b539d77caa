"""The test of one criterion on one bike: its result, the reason in words, and whether it is a close call."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from generator.figures import show
from generator.figures.criteria.fields import FIELDS
from generator.figures.criteria.parser import Bound, Choice
from generator.figures.model import Figure
from generator.specs.bike import Bike
from generator.specs.english import listed

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable


@dataclass(frozen=True)
class CriterionResult:
    """Result of one criterion for one bike."""

    key: str
    """Figure id or name of a field."""
    holds: bool | None
    reason: str
    """Plain words with value and bound, without a full stop."""
    edge: bool = False
    lacking: str = ""
    """Title of the value that is not known; empty if it is known."""


@dataclass(frozen=True)
class Criterion:
    """One criterion: bounds of a figure or of the model year, a choice of words, or whether a value is known."""

    key: str
    title: str
    bounds: tuple[Bound, ...] = ()
    choice: Choice | None = None
    known: bool | None = None

    @property
    def words(self) -> str:
        if self.known is not None:
            return f"{lower_first_letter(self.title)} {'known' if self.known else 'not known'}"
        if self.choice is not None:
            return f"{lower_first_letter(self.title)}: {self.choice.text}"
        return f"{lower_first_letter(self.title)} " + " and ".join(
            bound.words for bound in self.bounds
        )

    def check_bike(self, table: "FiguresTable", bike: Bike) -> CriterionResult:
        if self.key in FIELDS:
            return self._check_field(bike)
        figure = table.get(bike.slug, self.key)
        if self.known is not None:
            is_known = figure is not None
            reason = f"{self.title} {'known' if is_known else 'not known'}"
            return CriterionResult(self.key, is_known == self.known, reason)
        return (
            self._report_unknown(self.title)
            if figure is None
            else self._check_figure(table, figure)
        )

    def _report_unknown(self, lacking: str) -> CriterionResult:
        return CriterionResult(self.key, None, f"{lacking} not known", lacking=lacking)

    def _check_field(self, bike: Bike) -> CriterionResult:
        own = FIELDS[self.key].get(bike)
        if self.known is not None:
            reason = f"{self.title} {'known' if own is not None else 'not known'}"
            return CriterionResult(self.key, (own is not None) == self.known, reason)
        if own is None:
            return self._report_unknown(self.title)
        said = f"{self.title} {listed(own)}"
        if self.choice is not None:
            holds = self.choice.holds(own)
            ruled_out = self.choice.way == "none"
            failed_words = ", which is ruled out" if ruled_out else f", not {self.choice.text}"
            plain = holds or own[0] in ("yes", "no")
            return CriterionResult(self.key, holds, said if plain else said + failed_words)
        failed = [bound for bound in self.bounds if not bound.holds(float(own[0]), bound.value)]
        words = " and ".join(bound.words for bound in self.bounds)
        reason = f"{said}, {words}" if not failed else f"{said}, not {failed[0].words}"
        return CriterionResult(self.key, not failed, reason)

    def _check_figure(self, table: "FiguresTable", figure: Figure) -> CriterionResult:
        told: list[str] = []
        failed: list[str] = []
        edge = False
        for bound in self.bounds:
            low, value, high, text = bound.value, bound.value, bound.value, bound.text
            if bound.other:
                other = table.get(figure.bike, bound.other)
                if other is None:
                    return self._report_unknown(table.kinds[bound.other].title)
                if other.kind.unit != figure.kind.unit:
                    return self._report_unknown(f"{self.title} in {other.kind.unit.si}")
                low, value, high = other.low, other.value, other.high
                text = f"{lower_first_letter(other.kind.short)} {show.format_figure(other, bound.system)}"
            elif bound.currency and bound.currency != figure.kind.unit.si:
                return self._report_unknown(f"{self.title} in {bound.currency}")
            edge |= (
                figure.low <= high
                and low <= figure.high
                and (figure.low, low) != (figure.high, high)
            )
            if bound.holds(figure.value, value):
                told.append(f"{bound.relation} {text}")
            else:
                equal = figure.value == value
                beyond = "over" if figure.value > value else "under"
                failed.append(f"not {bound.relation} {text}" if equal else f"{beyond} {text}")
        said = _describe_value(figure, self.bounds)
        reason = f"{said}, {(' and '.join(failed) or ' and '.join(told))}"
        if edge:
            system = self.bounds[0].system
            likely = show.format_interval(figure, system)
            likely = likely and show.join_unit(likely, show.get_unit_symbol(figure.kind, system))
            reason += f" (likely {likely})" if likely else " (a close call)"
        return CriterionResult(self.key, not failed, reason, edge)


def lower_first_letter(title: str) -> str:
    """A title for the middle of a sentence: its first letter small unless the word is an abbreviation."""
    return title[:1].lower() + title[1:] if title[1:2].islower() else title


def _describe_value(figure: Figure, bounds: Sequence[Bound]) -> str:
    """Short title and value, with enough decimals to tell the value from the bound."""
    system = bounds[0].system
    scale = show.get_scale(figure.kind, system)
    text = show.format_figure(figure, system)
    for bound in bounds:
        if bound.other or bound.value == figure.value:
            continue
        shown_bound = bound.value * scale.factor
        places = show.count_decimals(figure, system)
        while places < 4 and round(figure.value * scale.factor, places) == round(
            shown_bound, places
        ):
            places += 1
            text = show.join_unit(
                show.format_digits(figure.value * scale.factor, places), scale.unit
            )
    return f"{figure.kind.short} {text}"
