"""What the report holds, as plain data. Every text is as a contributor wrote it and not yet escaped."""

from dataclasses import dataclass, field
from typing import Literal

from generator.specs.problems import Problem

Side = Literal["before", "after"]

LIKELY = ", likely "
"""Between a shown value and its interval."""


def value_of(text: str) -> str:
    """The value of a figure as shown with its interval, such as `44 km`."""
    return text.partition(LIKELY)[0]


def interval_of(text: str) -> str:
    """The interval of a figure as shown, such as `36–52`; empty for none."""
    return text.partition(LIKELY)[2]


@dataclass(frozen=True)
class KeyChange:
    """One value of a file that was changed, added (`old` empty) or taken out (`new` empty)."""

    file: str
    key: str
    """Dotted, such as `assist.levels.Even.ratio`."""
    old: str
    new: str
    line: int
    """In the file as it is now; as it was, for what was taken out; 0 where unknown."""

    def __str__(self) -> str:
        line = f" (line {self.line})" if self.line else ""
        return f"{self.key}: {self.old or 'not stated'} → {self.new or 'not stated'}{line}"


@dataclass(frozen=True)
class Rank:
    """Where a figure stands, counted from the best; equal values share a place."""

    list: str
    """Title of a use; empty for all bikes."""
    place: int
    of: int


@dataclass(frozen=True)
class Standing:
    """A headline figure that comes or goes with its bike. SI."""

    figure: str
    title: str
    unit: str
    value: float
    low: float
    high: float
    text: str
    """As shown, with its interval."""
    basis: str
    places: tuple[Rank, ...] = ()


@dataclass(frozen=True)
class BikeChange:
    """What happened to one bike's spec file."""

    slug: str
    """As it is now; as it was, for a bike that is gone."""
    name: str
    what: Literal["added", "removed", "renamed", "changed", "not readable"]
    was: str = ""
    """Slug or side: the earlier slug of a renamed bike; the side on which one cannot be read."""
    keys: tuple[KeyChange, ...] = ()
    idle: tuple[str, ...] = ()
    """Those of the keys that a figure could read and on which none depends here."""
    standings: tuple[Standing, ...] = ()
    """Of a bike that was added or removed: its headline figures."""


@dataclass(frozen=True)
class Move:
    """One figure of one bike that is not what it was. SI; None on a side that lacks it."""

    bike: str
    name: str
    figure: str
    title: str
    headline: bool
    unit: str
    old: tuple[float, float, float] | None
    """Value, low, high."""
    new: tuple[float, float, float] | None
    old_text: str
    """As shown, with its interval; empty on a side that lacks it."""
    new_text: str
    change: float | None
    """(new − old) / |old|; None where that has no meaning. [-]"""
    old_basis: str
    new_basis: str
    width: float | None
    """New width of the interval over the old one, in relation to the values; None where either has none. [-]"""
    why: tuple[str, ...] = ()

    @property
    def shows(self) -> bool:
        """Does the shown value differ, or what it rests on? An interval alone does not count."""
        return not self.same_value or self.old_basis != self.new_basis

    @property
    def same_value(self) -> bool:
        """Does the value read the same on both sides?"""
        return value_of(self.old_text) == value_of(self.new_text)


@dataclass(frozen=True)
class Swap:
    """Two bikes whose order by a headline figure changed."""

    figure: str
    title: str
    ahead: str
    """Slug of the bike that is in front now."""
    behind: str
    lists: tuple[str, ...]
    """Lists that hold both."""
    clear: bool
    """Do the intervals keep apart, as they are now?"""
    sentence: str


@dataclass(frozen=True)
class Membership:
    """A bike, or a pair of bikes, that a list took in or let go."""

    list: str
    members: tuple[str, ...]
    what: Literal["entered", "left"]


@dataclass(frozen=True)
class LiveFigure:
    """A figure in a text that now reads otherwise."""

    file: str
    line: int
    bike: str
    figure: str
    old: str
    new: str


@dataclass(frozen=True)
class Sentence:
    """A tested sentence that holds no more."""

    file: str
    line: int
    text: str


@dataclass(frozen=True)
class PageChanges:
    added: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    changed: tuple[str, ...] | None = None
    """None when the pages were not rendered."""


@dataclass(frozen=True)
class Impact:
    before: str
    """Name of the side, such as `main`."""
    after: str
    bikes: tuple[BikeChange, ...] = ()
    content: tuple[KeyChange, ...] = ()
    moves: tuple[Move, ...] = ()
    """In the order of bikes and of the registry."""
    swaps: tuple[Swap, ...] = ()
    lists: tuple[Membership, ...] = ()
    live: tuple[LiveFigure, ...] = ()
    sentences: tuple[Sentence, ...] = ()
    pages: PageChanges = field(default_factory=PageChanges)
    new_problems: tuple[Problem, ...] = ()
    gone_problems: tuple[Problem, ...] = ()
    errors: tuple[Problem, ...] = ()
    """Of the side after, old and new; of texts, those that the change may have to do with."""
    region: str = ""
    """The publication's own, by its name in the lists of laws; empty where no rule is of it."""
    notes: tuple[str, ...] = ()
    """What the reader should know of how this was worked out."""

    @property
    def shown(self) -> tuple[Move, ...]:
        return tuple(move for move in self.moves if move.shows)

    @property
    def folded(self) -> tuple[Move, ...]:
        """Moved, and yet the shown value and its basis are the same."""
        return tuple(move for move in self.moves if not move.shows)

    @property
    def basis(self) -> tuple[Move, ...]:
        return tuple(
            move
            for move in self.moves
            if move.old and move.new and move.old_basis != move.new_basis
        )

    @property
    def widths(self) -> tuple[Move, ...]:
        """Intervals that became notably narrower or wider."""
        return tuple(
            move
            for move in self.moves
            if move.width is not None and not NARROWER < move.width < WIDER
        )


NARROWER, WIDER = 0.8, 1.25
"""Ratio of widths from which a change of an interval is told. [-]  Our choice."""
