"""The impact report as plain data. Texts are as contributors wrote them, not yet escaped."""

from dataclasses import dataclass, field
from typing import Literal

from generator.specs.problems import Problem

INTERVAL_MARK = ", likely "
"""Separates a shown value from its interval."""


def extract_value(text: str) -> str:
    """The value in a figure's shown text, such as `44 km` in `44 km, likely 36–52`."""
    return text.partition(INTERVAL_MARK)[0]


def extract_interval(text: str) -> str:
    """The interval in a figure's shown text, such as `36–52`; empty if there is none."""
    return text.partition(INTERVAL_MARK)[2]


@dataclass(frozen=True)
class KeyChange:
    """One value of a file that was changed, added (`old` is empty) or removed (`new` is empty)."""

    file: str
    key: str
    """Dotted, such as `assist.levels.Even.ratio`."""
    old: str
    new: str
    line: int
    """Line in the later file, or in the earlier one for a removed value; 0 if unknown."""

    def __str__(self) -> str:
        line = f" (line {self.line})" if self.line else ""
        return f"{self.key}: {self.old or 'not stated'} → {self.new or 'not stated'}{line}"


@dataclass(frozen=True)
class ListRank:
    """The place of a figure in a list of bikes; equal values share a place."""

    list: str
    """Title of a use; empty for all bikes."""
    place: int
    """Counted from the best, which is 1."""
    of: int
    """Number of bikes in the list that have the figure."""


@dataclass(frozen=True)
class HeadlineFigure:
    """A headline figure of a bike that was added or removed. Numbers are in SI units."""

    figure: str
    title: str
    unit: str
    value: float
    low: float
    high: float
    text: str
    """The figure as shown, with its interval."""
    basis: str
    places: tuple[ListRank, ...] = ()
    """Among all bikes, then among the bikes of each of its uses."""


@dataclass(frozen=True)
class BikeChange:
    """What happened to one bike's spec file."""

    slug: str
    """The later slug; the earlier one for a removed bike."""
    name: str
    what: Literal["added", "removed", "renamed", "changed", "not readable"]
    was: str = ""
    """The earlier slug of a renamed bike, or the side on which the file cannot be read."""
    keys: tuple[KeyChange, ...] = ()
    idle: tuple[str, ...] = ()
    """Changed keys that figures can read but on which no figure of this bike depends."""
    standings: tuple[HeadlineFigure, ...] = ()
    """Headline figures of a bike that was added or removed."""


@dataclass(frozen=True)
class FigureMove:
    """One figure of one bike that differs between the states. Numbers are in SI units; None on a side that lacks it."""

    bike: str
    name: str
    figure: str
    title: str
    headline: bool
    unit: str
    old: tuple[float, float, float] | None
    """Value, low and high before."""
    new: tuple[float, float, float] | None
    """Value, low and high after."""
    old_text: str
    """The figure as shown before, with its interval; empty if it was lacking."""
    new_text: str
    """The figure as shown after, with its interval; empty if it is lacking."""
    change: float | None
    """(new − old) / |old|; None where that has no meaning. [-]"""
    old_basis: str
    new_basis: str
    width: float | None
    """New width of the interval over the old one, each relative to its value; None where either has none. [-]"""
    why: tuple[str, ...] = ()
    """Causes in words, such as `battery.energy: 500 Wh → 400 Wh (line 31)`."""

    @property
    def is_visible(self) -> bool:
        """Does the shown value or the basis differ? A changed interval alone does not count."""
        return not self.has_same_value or self.old_basis != self.new_basis

    @property
    def has_same_value(self) -> bool:
        """Does the value read the same on both sides?"""
        return extract_value(self.old_text) == extract_value(self.new_text)


@dataclass(frozen=True)
class RankSwap:
    """Two bikes whose order by a headline figure changed."""

    figure: str
    title: str
    ahead: str
    """Slug of the bike that is now better."""
    behind: str
    """Slug of the bike that is now worse."""
    lists: tuple[str, ...]
    """Titles of the lists that hold both bikes."""
    clear: bool
    """Are the later intervals apart?"""
    sentence: str


@dataclass(frozen=True)
class MembershipChange:
    """A bike, or a pair of bikes, that entered or left a list."""

    list: str
    """Name of the list."""
    members: tuple[str, ...]
    """One slug, or two for a pair."""
    what: Literal["entered", "left"]


@dataclass(frozen=True)
class LiveFigureChange:
    """A figure in a text that reads differently than before."""

    file: str
    line: int
    bike: str
    """Slug."""
    figure: str
    """Id."""
    old: str
    """As the text printed it before."""
    new: str
    """As the text prints it now."""


@dataclass(frozen=True)
class BrokenSentence:
    """A tested sentence that is no longer true."""

    file: str
    line: int
    text: str


@dataclass(frozen=True)
class PageChanges:
    """Paths of pages that were added, removed or changed."""

    added: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    changed: tuple[str, ...] | None = None
    """None when the pages were not rendered."""


@dataclass(frozen=True)
class Impact:
    """Everything that differs between two states of a publication."""

    before: str
    """Name of the earlier state, such as `main`."""
    after: str
    """Name of the later state, such as `the working tree`."""
    bikes: tuple[BikeChange, ...] = ()
    content: tuple[KeyChange, ...] = ()
    """Changed settings, riders, routes and texts."""
    moves: tuple[FigureMove, ...] = ()
    """Changed figures, by bike, then in the order of the registry."""
    swaps: tuple[RankSwap, ...] = ()
    lists: tuple[MembershipChange, ...] = ()
    """Bikes that entered or left a list."""
    live: tuple[LiveFigureChange, ...] = ()
    """Figures in texts that read differently."""
    sentences: tuple[BrokenSentence, ...] = ()
    pages: PageChanges = field(default_factory=PageChanges)
    new_problems: tuple[Problem, ...] = ()
    gone_problems: tuple[Problem, ...] = ()
    errors: tuple[Problem, ...] = ()
    """Every error in the later state, new or not; of texts, only of those that the change may affect."""
    region: str = ""
    """The publication's own region as the lists of laws name it; empty if no rule is of that region."""
    notes: tuple[str, ...] = ()
    """Remarks on how the comparison was made, for the reader."""

    @property
    def visible_moves(self) -> tuple[FigureMove, ...]:
        """Figures whose shown value or basis changed."""
        return tuple(move for move in self.moves if move.is_visible)

    @property
    def folded_moves(self) -> tuple[FigureMove, ...]:
        """Figures that changed without a change of their shown value or basis."""
        return tuple(move for move in self.moves if not move.is_visible)

    @property
    def basis_changes(self) -> tuple[FigureMove, ...]:
        """Figures of both states whose basis changed."""
        return tuple(
            move
            for move in self.moves
            if move.old and move.new and move.old_basis != move.new_basis
        )

    @property
    def width_changes(self) -> tuple[FigureMove, ...]:
        """Figures whose interval became notably narrower or wider."""
        return tuple(
            move
            for move in self.moves
            if move.width is not None and not NARROWER < move.width < WIDER
        )


NARROWER, WIDER = 0.8, 1.25
"""Ratios of widths beyond which a changed interval is reported. [-]  Our choice."""
