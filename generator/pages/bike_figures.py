"""A bike's figures as its page shows them: in sections first, each with its derivation further down."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures import show
from generator.figures.model import Figure, Input
from generator.pages import cautions, numbers, places
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
    Part("law", "What the law calls it", ("law",)),
)
ELSEWHERE = ("spec", "claims")
"""Groups that stand in sections of their own."""


@dataclass(frozen=True)
class Line:
    """One figure as a reader first meets it."""

    title: str
    number: Markup
    sentence: str
    basis: str
    note: str


@dataclass(frozen=True)
class Section:
    id: str
    title: str
    lines: list[Line]
    more: list[Line]
    """The same quantity for other riders, routes and levels."""
    chart: Markup
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Used:
    """An input in a derivation."""

    title: str
    text: str
    basis: str
    source: str
    share: str


@dataclass(frozen=True)
class Derivation:
    anchor: str
    figure: Figure
    number: Markup
    interval: str
    method: str
    """Link to the kind on the methods page."""
    used: list[Used]
    settled: str
    """Names of the inputs that add next to nothing to the interval."""


def sections(press: Press, bike: Bike, path: str) -> list[Section]:
    """The sections that have something to say, in the page's order."""
    figures = list(press.table.of(bike.slug).values())
    known = {group for part in PARTS for group in part.groups} | set(ELSEWHERE)
    others = tuple(sorted({figure.kind.group for figure in figures} - known))
    parts = (*PARTS, Part("others", "Other figures", others)) if others else PARTS
    found = (_section(press, bike, path, part, figures) for part in parts)
    return [section for section in found if section.lines or section.more]


def _section(
    press: Press, bike: Bike, path: str, part: Part, figures: Sequence[Figure]
) -> Section:
    own = [figure for figure in figures if figure.kind.group in part.groups]
    first = [figure for figure in own if figure.id.count(".") == 1]
    more = [figure for figure in own if figure.id.count(".") > 1]
    return Section(
        part.id,
        part.title,
        lines(press, first, path),
        lines(press, more, path),
        press.chart(bike.slug, part.chart) if part.chart else Markup(""),
        cautions.beside(part.id, bike),
    )


def lines(
    press: Press, figures: Iterable[Figure], path: str, *, interval: bool = True
) -> list[Line]:
    return [
        Line(
            figure.kind.title,
            press.number(figure, path, interval=interval),
            figure.sentence,
            figure.basis,
            figure.note,
        )
        for figure in figures
    ]


def headlines(press: Press, bike: Bike, path: str) -> list[Line]:
    """The few figures at the top of the page."""
    kinds = [kind for kind in press.table.kinds.values() if kind.headline]
    found = [press.table.get(bike.slug, kind.id) for kind in kinds]
    known = [figure for figure in found if figure is not None]
    return lines(press, known, path, interval=False)


def derivations(press: Press, bike: Bike, path: str) -> list[Derivation]:
    return [_derivation(press, figure, path) for figure in press.table.of(bike.slug).values()]


def _derivation(press: Press, figure: Figure, path: str) -> Derivation:
    by_share = sorted(figure.inputs, key=lambda one: -one.share)
    spread = [one for one in by_share if one.share >= LEAST_SHARE]
    told = spread or by_share
    rest = [one.title for one in by_share if one not in told]
    kind = numbers.anchor(figure.id).replace("fig-", "kind-", 1)
    return Derivation(
        numbers.anchor(figure.id),
        figure,
        press.number(figure, path, linked=False),
        interval(figure, press.system),
        places.link(path, f"{places.METHOD}#{kind}"),
        [_used(one) for one in told],
        ", ".join(rest),
    )


LEAST_SHARE = 0.01
"""An input that explains less than this of the interval is named, not listed."""


def _used(one: Input) -> Used:
    share = f"{one.share:.0%} of the interval" if one.share >= LEAST_SHARE else ""
    return Used(one.title, one.text, one.basis, one.source, share.replace("%", " %"))


def interval(figure: Figure, system: str) -> str:
    """The interval with its unit; empty for an exact figure."""
    words = show.interval(figure, system)
    unit = show.unit(figure.kind, system)
    return show.join(words, unit) if words else ""
