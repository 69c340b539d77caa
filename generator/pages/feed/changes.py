"""The page of changes by day: corrections, changes by makers, and what moved from one release to the next.

It is made from the data; the changelog is what the editors write.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar
from xml.sax.saxutils import escape

from generator.content.releases import Release
from generator.figures.records.record import RecordChanges
from generator.pages.bike import history as bike_history
from generator.pages.feed import moved_figures
from generator.pages.feed.atom import FeedEntry
from generator.pages.frame import numbers, urls
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.renderer import Renderer
from generator.specs.english import day_in_words, format_count

TITLE = "What moved"
MOST_DAYS = 24
"""Most days on the page."""


T = TypeVar("T")


@dataclass(frozen=True)
class MovementView:
    """A movement as the page shows it."""

    lines: list[tuple[str, list[tuple[str, str]]]]
    """Words such as `New bikes`, each with names and links (empty if none)."""
    count: str
    """How many figures moved, such as `12 figures of 3 bikes read otherwise`; empty for none."""
    bikes: list[moved_figures.BikeMoves]
    rest: list[tuple[str, str, str]]
    """Name, link and count of the bikes beyond `moved_figures.MOST_BIKES`."""


def outputs(renderer: Renderer) -> Iterator[Output]:
    """The page of changes."""
    path = urls.CHANGES
    history = renderer.whole_history
    days = _list_days(renderer)
    yield renderer.render_page(
        Page(
            path=path,
            template="changes.html",
            title=TITLE,
            description="Corrections, changes by the makers, and figures that read otherwise from one release to the "
            "next; newest first.",
            values={
                "last": history.last,
                "since_last": _build_movement(renderer, history.since_last, history.now, path)
                if history.since_last and history.now
                else None,
                "days": days[:MOST_DAYS],
                "older": len(days) - MOST_DAYS,
                "changelog": urls.link(path, urls.CHANGELOG) if renderer.content.changelog else "",
                "feed": urls.link(path, urls.FEED),
            },
        )
    )


def list_release_entries(renderer: Renderer) -> Iterator[FeedEntry]:
    """A feed entry for each release; corrections are in the entries of their bikes."""
    page = renderer.address(urls.CHANGES)
    for release, movement in renderer.whole_history.movements:
        where = f"{page}#release-{release.day}"
        title = f"Release of {day_in_words(release.day)}: {_summarize_release(release, movement)}"
        yield FeedEntry(
            where,
            f"{page}#{find_day_anchor(release.day)}",
            title,
            release.day,
            _render_release(renderer, release, movement),
        )


def find_day_anchor(when: date) -> str:
    """Id of a day's section on the page."""
    return f"day-{when}"


def _list_days(renderer: Renderer) -> list[dict[str, Any]]:
    """Corrections, revisions and releases by day, newest first."""
    path = urls.CHANGES
    releases = {
        release.day: (release, movement) for release, movement in renderer.whole_history.movements
    }
    records: dict[date, list[tuple[str, str, str]]] = {}
    for bike in renderer.table.bikes:
        for record in bike_history.list_events(bike, renderer.content):
            if record.kind in (bike_history.CORRECTED, bike_history.REVISED):
                entry = (bike.full_name, urls.link(path, urls.bike(bike.slug)), record.words)
                records.setdefault(record.day, []).append(entry)
    found = []
    for when in sorted(releases.keys() | records.keys(), reverse=True):
        release, movement = releases.get(when, (None, None))
        found.append(
            {
                "day": when,
                "anchor": find_day_anchor(when),
                "records": records.get(when, []),
                "release": release is not None,
                "summary": _summarize_release(release, movement) if release else "",
                "movement": _build_movement(renderer, movement, release, path)
                if release and movement
                else None,
            }
        )
    return found


def _build_movement(
    renderer: Renderer, movement: RecordChanges, now: Release, path: str
) -> MovementView:
    def link_bikes(slugs: tuple[str, ...]) -> list[tuple[str, str]]:
        return [
            (_name_bike(renderer, slug, now), moved_figures.link_bike(renderer, slug, path))
            for slug in slugs
        ]

    lines = [
        ("New bikes", link_bikes(movement.added)),
        ("Bikes taken out", link_bikes(movement.removed)),
    ]
    for verb, pairs in (("Onto", movement.entered), ("Off", movement.left)):
        for slug in dict.fromkeys(name for name, _ in pairs):
            words = f"{verb} the list “{_find_list_title(renderer, slug)}”"
            lines.append((words, link_bikes(tuple(bike for name, bike in pairs if name == slug))))
    kinds = [
        (kind.title, urls.link(path, numbers.method_entry_path(kind.id)))
        for kind in movement.new_kinds
    ]
    lines.append(("Figures worked out for the first time", kinds))
    bikes = moved_figures.group_by_bike(
        renderer, movement.moved, now.name, path, most=moved_figures.MOST_FIGURES
    )
    rest = [(each.name, each.href, each.count) for each in bikes[moved_figures.MOST_BIKES :]]
    return MovementView(
        [(words, _limit_names(names, lambda more: (more, ""))) for words, names in lines if names],
        _count_moves(movement),
        bikes[: moved_figures.MOST_BIKES],
        _limit_names(rest, lambda more: (more, "", "")),
    )


def _limit_names(names: list[T], name_rest: Callable[[str], T]) -> list[T]:
    """The first `moved_figures.MOST_NAMED` names, and how many more there are."""
    more = len(names) - moved_figures.MOST_NAMED
    return (
        [*names[: moved_figures.MOST_NAMED], name_rest(f"and {more} more")] if more > 0 else names
    )


def _name_bike(renderer: Renderer, slug: str, now: Release) -> str:
    """Name of a bike, including one that is gone."""
    if slug in now.fields:
        return now.name(slug)
    known = [release for release in renderer.whole_history.releases if slug in release.fields]
    return known[-1].name(slug) if known else slug


def _find_list_title(renderer: Renderer, slug: str) -> str:
    """Title of a list, or the slug of one that is gone."""
    return next((each.title for each in renderer.content.lists if each.slug == slug), slug)


def _count_moves(movement: RecordChanges) -> str:
    figures = sum(map(len, movement.moved.values()))
    if not figures:
        return ""
    verb = "reads" if figures == 1 else "read"
    return f"{format_count(figures, 'figure')} of {format_count(len(movement.moved), 'bike')} {verb} otherwise"


def _summarize_release(release: Release, movement: RecordChanges | None) -> str:
    """In a line, such as `2 new bikes, 12 figures of 3 bikes read otherwise`."""
    if movement is None:
        return f"the first record, with {format_count(len(release.figures), 'bike')}"
    parts = []
    if movement.added:
        parts.append(format_count(len(movement.added), "new bike"))
    if movement.removed:
        parts.append(f"{format_count(len(movement.removed), 'bike')} taken out")
    if movement.moved:
        parts.append(_count_moves(movement))
    if movement.entered or movement.left:
        lists = {name for name, _ in (*movement.entered, *movement.left)}
        parts.append(f"{format_count(len(lists), 'list')} changed")
    if movement.new_kinds:
        parts.append(format_count(len(movement.new_kinds), "new figure") + " for each bike")
    return ", ".join(parts) or "nothing moved"


def _render_release(renderer: Renderer, release: Release, movement: RecordChanges | None) -> str:
    """The release in a feed, where no link is relative and no unit can be hidden."""
    if movement is None:
        return f"<p>{escape(_summarize_release(release, None).capitalize())}.</p>"
    view = _build_movement(renderer, movement, release, urls.CHANGES)
    parts = [
        f"<p>{escape(words)}: {escape(', '.join(name for name, _ in names))}.</p>"
        for words, names in view.lines
    ]
    for slug, moves in list(movement.moved.items())[: moved_figures.MOST_BIKES]:
        items = [
            moved_figures.format_move(renderer, move)
            for move in moves[: moved_figures.MOST_FIGURES]
        ]
        more = len(moves) - len(items)
        items += [f"and {more} more"] if more else []
        lines = "".join(f"<li>{escape(words)}</li>" for words in items)
        parts.append(f"<p>{escape(release.name(slug))}</p><ul>{lines}</ul>")
    return "".join(parts) or "<p>Nothing moved.</p>"
