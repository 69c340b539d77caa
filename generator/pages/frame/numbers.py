"""The HTML of a figure, in one place: prose, tables and templates all print numbers with it.

A figure is one `data` element whose `value` is the SI number as computed; both unit systems stand
inside, and the style sheet needs to do nothing for that. Nothing here rounds: `figures.show` does.
"""

from markupsafe import Markup, escape

from generator.figures import show
from generator.figures.model import Figure
from generator.pages.frame import urls

NOT_KNOWN = Markup('<span class="not-known">not known</span>')
"""Stands where a bike has no such figure."""

_NO_BREAK = "\N{NO-BREAK SPACE}"


def anchor(figure_id: str) -> str:
    """Id of a figure's derivation on its bike's page: `range.rolling` is at `fig-range-rolling`."""
    return "fig-" + figure_id.replace(".", "-")


def method_anchor(figure_id: str) -> str:
    """Id of the entry on the method page that says how such a figure is worked out."""
    return "kind-" + figure_id.replace(".", "-")


def explained_at(figure_id: str) -> str:
    """Where the site says how a kind of figure is worked out and which terms belong to it."""
    return f"{urls.METHOD}#{method_anchor(figure_id)}"


def figure_html(
    figure: Figure | None,
    *,
    href: str | None = None,
    interval: bool = False,
    first: show.System = "metric",
) -> Markup:
    """A figure in both unit systems, once when they read the same.

    `href` links it to its derivation, `interval` adds the likely range, `first` names the unit
    system that leads (`metric` or `us`); the other follows in brackets. None prints "not known".
    """
    if figure is None:
        return NOT_KNOWN
    data = (
        f'<data class="figure" data-bike="{escape(figure.bike)}" data-figure="{escape(figure.kind.id)}" '
        f'value="{float(figure.value)!r}">{_systems(figure, interval, first)}</data>'
    )
    return Markup(data) if href is None else led_to(Markup(data), href)


def led_to(data: Markup, href: str) -> Markup:
    """A figure as a link to its derivation."""
    return Markup(f'<a class="fig" href="{escape(href)}">{data}</a>')


def value_html(figure: Figure, *, first: show.System = "metric") -> Markup:
    """A value that is of a figure's kind but not published itself, such as the figure with another rider."""
    return Markup(f'<span class="figure">{_systems(figure, False, first)}</span>')


def likely_html(figure: Figure, *, first: show.System = "metric") -> Markup:
    """The interval alone, such as `likely 36–52 km`; empty when no input is uncertain."""
    leading, following = _order(first)
    one, other = likely_in(figure, leading), likely_in(figure, following)
    if not one:
        return Markup("")
    if one == other:
        return Markup(
            f'<span class="figure"><span class="u-both">likely {escape(one)}</span></span>'
        )
    return Markup(
        f'<span class="figure">likely <span class="u-{leading}">{escape(one)}</span> '
        f'<span class="u-{following}">({escape(other)})</span></span>'
    )


def figure_text(figure: Figure | None, *, first: show.System = "metric") -> str:
    """The same in plain text, for attributes, code and the feed: `44 km (27 mi)`."""
    if figure is None:
        return "not known"
    leading, following = _order(first)
    one, other = show.text(figure, leading), show.text(figure, following)
    return one if one == other else f"{one} ({other})"


def _systems(figure: Figure, interval: bool, first: show.System) -> Markup:
    leading, following = _order(first)
    one, other = in_system(figure, leading, interval), in_system(figure, following, interval)
    if one == other:
        return Markup(f'<span class="u-both">{escape(one)}</span>')
    return Markup(
        f'<span class="u-{leading}">{escape(one)}</span> <span class="u-{following}">({escape(other)})</span>'
    )


def in_system(figure: Figure, system: show.System, interval: bool) -> str:
    """A figure in one unit system: `44 km`, or `44 km, likely 36–52 km`, without a break at the unit."""
    words = show.text(figure, system).replace(" ", _NO_BREAK)
    likely = likely_in(figure, system) if interval else ""
    return f"{words}, likely{_NO_BREAK}{likely}" if likely else words


def likely_in(figure: Figure, system: show.System) -> str:
    """The interval in one unit system, such as `36–52 km`; empty when no input is uncertain."""
    span = show.interval(figure, system)
    return show.join(span, show.unit(figure.kind, system)).replace(" ", _NO_BREAK) if span else ""


def _order(first: show.System) -> tuple[show.System, show.System]:
    return ("us", "metric") if first == "us" else ("metric", "us")
