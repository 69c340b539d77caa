"""What changed, day by day: corrections, changes by makers, and what moved from one release to the next.

What the editors say of their work in their own words is the changelog; here stands what the data say.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar
from xml.sax.saxutils import escape

from generator.content.releases import Release
from generator.figures.records.record import Movement
from generator.pages.bike import history as bike_history
from generator.pages.feed import moved_figures
from generator.pages.feed.atom import Entry
from generator.pages.frame import numbers, urls
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Page, Renderer, day

TITLE = "What moved"
MOST_DAYS = 24
"""Days on the page; the records of the bikes and of the releases stay where they are."""


T = TypeVar("T")


@dataclass(frozen=True)
class Told:
    """A movement as the page shows it."""

    lines: list[tuple[str, list[tuple[str, str]]]]
    """Words, and names with links (or without), such as `New: ` and the bikes."""
    count: str
    """Such as `12 figures of 3 bikes read otherwise`; empty for none."""
    bikes: list[moved_figures.OfBike]
    rest: list[tuple[str, str, str]]
    """Name, link and count of the bikes beyond those."""


def outputs(renderer: Renderer) -> Iterator[Output]:
    path = urls.CHANGES
    history = renderer.history
    days = _days(renderer)
    yield renderer.render_page(
        Page(
            path=path,
            template="changes.html",
            title=TITLE,
            description="Corrections, changes by the makers, and figures that read otherwise from one release to the "
            "next; newest first.",
            values={
                "last": history.last,
                "since_last": _told(renderer, history.since_last, history.now, path)
                if history.since_last and history.now
                else None,
                "days": days[:MOST_DAYS],
                "older": len(days) - MOST_DAYS,
                "changelog": urls.link(path, urls.CHANGELOG) if renderer.content.changelog else "",
                "feed": urls.link(path, urls.FEED),
            },
        )
    )


def entries(renderer: Renderer) -> Iterator[Entry]:
    """One for each release, for the feed; the corrections of a bike are told there with the bike."""
    page = renderer.address(urls.CHANGES)
    for release, movement in renderer.history.movements:
        where = f"{page}#release-{release.day}"
        title = f"Release of {day(release.day)}: {_summary(release, movement)}"
        yield Entry(
            where,
            f"{page}#{anchor(release.day)}",
            title,
            release.day,
            _html(renderer, release, movement),
        )


def anchor(when: date) -> str:
    return f"day-{when}"


def _days(renderer: Renderer) -> list[dict[str, Any]]:
    """Everything that is dated, by day, newest first."""
    path = urls.CHANGES
    releases = {
        release.day: (release, movement) for release, movement in renderer.history.movements
    }
    records: dict[date, list[tuple[str, str, str]]] = {}
    for bike in renderer.table.bikes:
        for record in bike_history.records(bike, renderer.content):
            if record.kind in (bike_history.CORRECTED, bike_history.REVISED):
                entry = (bike.full_name, urls.link(path, urls.bike(bike.slug)), record.words)
                records.setdefault(record.day, []).append(entry)
    found = []
    for when in sorted(releases.keys() | records.keys(), reverse=True):
        release, movement = releases.get(when, (None, None))
        found.append(
            {
                "day": when,
                "anchor": anchor(when),
                "records": records.get(when, []),
                "release": release is not None,
                "summary": _summary(release, movement) if release else "",
                "told": _told(renderer, movement, release, path) if release and movement else None,
            }
        )
    return found


def _told(renderer: Renderer, movement: Movement, now: Release, path: str) -> Told:
    def named(slugs: tuple[str, ...]) -> list[tuple[str, str]]:
        return [
            (_name(renderer, slug, now), moved_figures.bike_href(renderer, slug, path))
            for slug in slugs
        ]

    lines = [("New bikes", named(movement.come)), ("Bikes taken out", named(movement.gone))]
    for verb, pairs in (("Onto", movement.entered), ("Off", movement.left)):
        for slug in dict.fromkeys(name for name, _ in pairs):
            words = f"{verb} the list “{_list_title(renderer, slug)}”"
            lines.append((words, named(tuple(bike for name, bike in pairs if name == slug))))
    kinds = [
        (kind.title, urls.link(path, numbers.explained_at(kind.id))) for kind in movement.new_kinds
    ]
    lines.append(("Figures worked out for the first time", kinds))
    bikes = moved_figures.bikes(
        renderer, movement.moved, now.name, path, most=moved_figures.MOST_FIGURES
    )
    rest = [(each.name, each.href, each.count) for each in bikes[moved_figures.MOST_BIKES :]]
    return Told(
        [(words, _first(names, lambda more: (more, ""))) for words, names in lines if names],
        _count(movement),
        bikes[: moved_figures.MOST_BIKES],
        _first(rest, lambda more: (more, "", "")),
    )


def _first(names: list[T], told: Callable[[str], T]) -> list[T]:
    """So many names as a line holds, and how many more there are."""
    more = len(names) - moved_figures.MOST_NAMED
    return [*names[: moved_figures.MOST_NAMED], told(f"and {more} more")] if more > 0 else names


def _name(renderer: Renderer, slug: str, now: Release) -> str:
    """Of a bike, also of one that is gone."""
    if slug in now.fields:
        return now.name(slug)
    known = [release for release in renderer.history.releases if slug in release.fields]
    return known[-1].name(slug) if known else slug


def _list_title(renderer: Renderer, slug: str) -> str:
    """Of a list, also of one that is gone."""
    return next((each.title for each in renderer.content.lists if each.slug == slug), slug)


def _count(movement: Movement) -> str:
    figures = sum(map(len, movement.moved.values()))
    if not figures:
        return ""
    verb = "reads" if figures == 1 else "read"
    return f"{moved_figures.counted(figures, 'figure')} of {moved_figures.counted(len(movement.moved), 'bike')} {verb} otherwise"


def _summary(release: Release, movement: Movement | None) -> str:
    """In a line, such as `2 new bikes, 12 figures of 3 bikes read otherwise`."""
    if movement is None:
        return f"the first record, with {moved_figures.counted(len(release.figures), 'bike')}"
    parts = []
    if movement.come:
        parts.append(moved_figures.counted(len(movement.come), "new bike"))
    if movement.gone:
        parts.append(f"{moved_figures.counted(len(movement.gone), 'bike')} taken out")
    if movement.moved:
        parts.append(_count(movement))
    if movement.entered or movement.left:
        lists = {name for name, _ in (*movement.entered, *movement.left)}
        parts.append(f"{moved_figures.counted(len(lists), 'list')} changed")
    if movement.new_kinds:
        parts.append(
            moved_figures.counted(len(movement.new_kinds), "new figure") + " for each bike"
        )
    return ", ".join(parts) or "nothing moved"


def _html(renderer: Renderer, release: Release, movement: Movement | None) -> str:
    """The release in a feed, where no link is relative and no unit can be hidden."""
    if movement is None:
        return f"<p>{escape(_summary(release, None).capitalize())}.</p>"
    told = _told(renderer, movement, release, urls.CHANGES)
    parts = [
        f"<p>{escape(words)}: {escape(', '.join(name for name, _ in names))}.</p>"
        for words, names in told.lines
    ]
    for slug, moves in list(movement.moved.items())[: moved_figures.MOST_BIKES]:
        items = [
            moved_figures.plain(renderer, move) for move in moves[: moved_figures.MOST_FIGURES]
        ]
        more = len(moves) - len(items)
        items += [f"and {more} more"] if more else []
        lines = "".join(f"<li>{escape(words)}</li>" for words in items)
        parts.append(f"<p>{escape(release.name(slug))}</p><ul>{lines}</ul>")
    return "".join(parts) or "<p>Nothing moved.</p>"
