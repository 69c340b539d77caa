"""One criterion held against one bike: does it hold, in which words, and is it a close call."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from generator.figures import show
from generator.figures.criteria.fields import FIELDS
from generator.figures.criteria.parser import Bound, Choice
from generator.figures.model import Figure
from generator.specs.bike import Bike

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable


@dataclass(frozen=True)
class Check:
    """One criterion held against one bike."""

    key: str
    """Figure id or name of a field."""
    holds: bool | None
    reason: str
    """Plain, with value and bound, without a full stop."""
    edge: bool = False
    lacking: str = ""
    """What is not known."""


@dataclass(frozen=True)
class Test:
    """One criterion: bounds of a figure or of the year, a choice of words, or whether it is known."""

    key: str
    title: str
    bounds: tuple[Bound, ...] = ()
    choice: Choice | None = None
    known: bool | None = None

    @property
    def words(self) -> str:
        if self.known is not None:
            return f"{running(self.title)} {'known' if self.known else 'not known'}"
        if self.choice is not None:
            return f"{running(self.title)}: {self.choice.text}"
        return f"{running(self.title)} " + " and ".join(bound.words for bound in self.bounds)

    def check(self, table: "FiguresTable", bike: Bike) -> Check:
        if self.key in FIELDS:
            return self._field(bike)
        figure = table.get(bike.slug, self.key)
        if self.known is not None:
            is_known = figure is not None
            reason = f"{self.title} {'known' if is_known else 'not known'}"
            return Check(self.key, is_known == self.known, reason)
        return self._unknown(self.title) if figure is None else self._figure(table, figure)

    def _unknown(self, lacking: str) -> Check:
        return Check(self.key, None, f"{lacking} not known", lacking=lacking)

    def _field(self, bike: Bike) -> Check:
        own = FIELDS[self.key].get(bike)
        if self.known is not None:
            reason = f"{self.title} {'known' if own is not None else 'not known'}"
            return Check(self.key, (own is not None) == self.known, reason)
        if own is None:
            return self._unknown(self.title)
        said = f"{self.title} {_listed(own)}"
        if self.choice is not None:
            holds = self.choice.holds(own)
            ruled_out = self.choice.way == "none"
            failed_words = ", which is ruled out" if ruled_out else f", not {self.choice.text}"
            plain = holds or own[0] in ("yes", "no")
            return Check(self.key, holds, said if plain else said + failed_words)
        failed = [bound for bound in self.bounds if not bound.holds(float(own[0]), bound.value)]
        words = " and ".join(bound.words for bound in self.bounds)
        reason = f"{said}, {words}" if not failed else f"{said}, not {failed[0].words}"
        return Check(self.key, not failed, reason)

    def _figure(self, table: "FiguresTable", figure: Figure) -> Check:
        told: list[str] = []
        failed: list[str] = []
        edge = False
        for bound in self.bounds:
            low, value, high, text = bound.value, bound.value, bound.value, bound.text
            if bound.other:
                other = table.get(figure.bike, bound.other)
                if other is None:
                    return self._unknown(table.kinds[bound.other].title)
                if other.kind.unit != figure.kind.unit:
                    return self._unknown(f"{self.title} in {other.kind.unit.si}")
                low, value, high = other.low, other.value, other.high
                text = f"{running(other.kind.short)} {show.text(other, bound.system)}"
            elif bound.currency and bound.currency != figure.kind.unit.si:
                return self._unknown(f"{self.title} in {bound.currency}")
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
        said = _said(figure, self.bounds)
        reason = f"{said}, {(' and '.join(failed) or ' and '.join(told))}"
        if edge:
            system = self.bounds[0].system
            likely = show.interval(figure, system)
            likely = likely and show.join(likely, show.unit(figure.kind, system))
            reason += f" (likely {likely})" if likely else " (a close call)"
        return Check(self.key, not failed, reason, edge)


def running(title: str) -> str:
    """A title within a sentence: its first letter small, unless the word is an abbreviation."""
    return title[:1].lower() + title[1:] if title[1:2].islower() else title


def _listed(words: Sequence[str]) -> str:
    return " and ".join((", ".join(words[:-1]), words[-1])) if len(words) > 1 else "".join(words)


def _said(figure: Figure, bounds: Sequence[Bound]) -> str:
    """Short title and value, with as many decimals as it takes to tell the value from the bound."""
    system = bounds[0].system
    scale = show.scale(figure.kind, system)
    text = show.text(figure, system)
    for bound in bounds:
        if bound.other or bound.value == figure.value:
            continue
        shown_bound = bound.value * scale.factor
        places = show.decimals(figure, system)
        while places < 4 and round(figure.value * scale.factor, places) == round(
            shown_bound, places
        ):
            places += 1
            text = show.join(show.digits(figure.value * scale.factor, places), scale.unit)
    return f"{figure.kind.short} {text}"
