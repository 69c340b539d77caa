"""Figures as HTML and as plain text, for prose, tables and templates.

A figure is one `data` element whose `value` is the SI number as computed; it shows both unit systems, without any
help of the style sheet. Nothing here rounds: `figures.show` does.
"""

from markupsafe import Markup, escape

from generator.figures import show
from generator.figures.model import Figure
from generator.pages.frame import urls

NOT_KNOWN = Markup('<span class="not-known">not known</span>')
"""Shown where a bike has no such figure."""

_NO_BREAK = "\N{NO-BREAK SPACE}"


def figure_anchor(figure_id: str) -> str:
    """Return the id of a figure's derivation on its bike's page: `fig-range-rolling` for `range.rolling`."""
    return "fig-" + figure_id.replace(".", "-")


def method_anchor(figure_id: str) -> str:
    """Return the id of the entry on the method page that explains a kind of figure."""
    return "kind-" + figure_id.replace(".", "-")


def method_entry_path(figure_id: str) -> str:
    """Return the path and fragment of the entry on the method page that explains a kind of figure."""
    return f"{urls.METHOD}#{method_anchor(figure_id)}"


def figure_html(
    figure: Figure | None,
    *,
    href: str | None = None,
    interval: bool = False,
    first: show.UnitSystem = "metric",
) -> Markup:
    """Return a figure in both unit systems, or once when they read the same.

    `href` links it to its derivation, `interval` adds the likely range, `first` names the unit
    system that leads (`metric` or `us`); the other follows in brackets. None prints "not known".
    """
    if figure is None:
        return NOT_KNOWN
    data = (
        f'<data class="figure" data-bike="{escape(figure.bike)}" data-figure="{escape(figure.kind.id)}" '
        f'value="{float(figure.value)!r}">{_systems_html(figure, interval, first)}</data>'
    )
    return Markup(data) if href is None else link_figure(Markup(data), href)


def link_figure(data: Markup, href: str) -> Markup:
    """Link a figure to its derivation."""
    return Markup(f'<a class="fig" href="{escape(href)}">{data}</a>')


def value_html(figure: Figure, *, first: show.UnitSystem = "metric") -> Markup:
    """A value that is of a figure's kind but not published itself, such as the figure with another rider."""
    return Markup(f'<span class="figure">{_systems_html(figure, False, first)}</span>')


def likely_html(figure: Figure, *, first: show.UnitSystem = "metric") -> Markup:
    """The interval alone, such as `likely 36–52 km`; empty when no input is uncertain."""
    leading, following = _order_systems(first)
    one, other = format_interval(figure, leading), format_interval(figure, following)
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


def figure_text(figure: Figure | None, *, first: show.UnitSystem = "metric") -> str:
    """The same in plain text, for attributes, code and the feed: `44 km (27 mi)`."""
    if figure is None:
        return "not known"
    leading, following = _order_systems(first)
    one, other = show.format_figure(figure, leading), show.format_figure(figure, following)
    return one if one == other else f"{one} ({other})"


def _systems_html(figure: Figure, interval: bool, first: show.UnitSystem) -> Markup:
    leading, following = _order_systems(first)
    one, other = (
        format_in_system(figure, leading, interval),
        format_in_system(figure, following, interval),
    )
    if one == other:
        return Markup(f'<span class="u-both">{escape(one)}</span>')
    return Markup(
        f'<span class="u-{leading}">{escape(one)}</span> <span class="u-{following}">({escape(other)})</span>'
    )


def format_in_system(figure: Figure, system: show.UnitSystem, interval: bool) -> str:
    """A figure in one unit system: `44 km`, or `44 km, likely 36–52 km`, without a break at the unit."""
    words = show.format_figure(figure, system).replace(" ", _NO_BREAK)
    likely = format_interval(figure, system) if interval else ""
    return f"{words}, likely{_NO_BREAK}{likely}" if likely else words


def format_interval(figure: Figure, system: show.UnitSystem) -> str:
    """The interval in one unit system, such as `36–52 km`; empty when no input is uncertain."""
    span = show.format_interval(figure, system)
    return (
        show.join_unit(span, show.get_unit_symbol(figure.kind, system)).replace(" ", _NO_BREAK)
        if span
        else ""
    )


def _order_systems(first: show.UnitSystem) -> tuple[show.UnitSystem, show.UnitSystem]:
    return ("us", "metric") if first == "us" else ("metric", "us")
