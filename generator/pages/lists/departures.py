"""Bikes that left a running list, with reasons, and the feed of the bikes that join and leave it."""

from collections.abc import Iterator
from dataclasses import dataclass
from xml.sax.saxutils import escape

from markupsafe import Markup

from generator.content.releases import Release
from generator.figures.criteria.fields import FIELDS
from generator.figures.criteria.running_lists import ListMembers
from generator.figures.records import memberships, record
from generator.figures.records.memberships import ListEvent
from generator.pages.feed import atom, moved_figures
from generator.pages.frame import urls
from generator.pages.frame.dates import format_date
from generator.pages.frame.renderer import Renderer
from generator.specs.english import day_in_words, format_count

LESS_THAN_SHOWN = ", by less than it is shown with"


@dataclass(frozen=True)
class DepartedBike:
    """A bike that has left a list."""

    name: str
    href: str
    when: Markup
    reasons: list[Markup]


def find_departed(renderer: Renderer, on_list: ListMembers, path: str) -> list[DepartedBike]:
    """Those that stood on a list in some record and do not now, for the page at `path`."""
    known = memberships.select_records(renderer.content.releases, on_list.running.slug)
    now = (
        renderer.whole_history.record_bikes(known[-1].lists[on_list.running.slug])
        if known
        else None
    )
    if now is None:
        return []
    found = memberships.find_departures(
        renderer.content.releases, on_list.running.slug, now, on_list.slugs
    )
    return [
        DepartedBike(
            event.before.name(event.slug),
            moved_figures.link_bike(renderer, event.slug, path),
            Markup("since the last record, {}" if late else "{}").format(format_date(event.day)),
            [
                Markup("{}: {}{}{}").format(*parts)
                for parts in _find_changes(renderer, on_list, event)
            ]
            or [Markup("{}").format(_explain_without_move(on_list, event))],
        )
        for event, late in found
    ]


def _find_changes(
    renderer: Renderer, on_list: ListMembers, event: ListEvent
) -> Iterator[tuple[str, Markup | str, Markup, Markup | str]]:
    """Changes in what the rule reads: title, old value, arrow, new value."""
    sides = (event.before, event.after)
    if any(event.slug not in each.figures for each in sides):
        return
    for name in on_list.criteria.reads:
        if name in FIELDS:
            old, new = (each.fields.get(event.slug, {}).get(name, "not known") for each in sides)
            if old != new:
                yield FIELDS[name].title, old, moved_figures.ARROW, new
            continue
        was, now = (record.restore_figure(each, event.slug, name, renderer.table) for each in sides)
        if _get_numbers(event.before, event.slug, name) != _get_numbers(
            event.after, event.slug, name
        ):
            title = renderer.table.kinds[name].short
            old, new = (
                moved_figures.render_value(renderer, was),
                moved_figures.render_value(renderer, now),
            )
            yield (
                title,
                old,
                moved_figures.ARROW,
                Markup("{}{}").format(new, LESS_THAN_SHOWN if old == new else ""),
            )


def _get_numbers(release: Release, slug: str, id: str) -> tuple[float, ...] | None:
    return release.figures.get(slug, {}).get(id)


def _explain_without_move(on_list: ListMembers, event: ListEvent) -> str:
    if event.slug not in event.after.figures:
        return "It is no longer in this guide."
    return "None of its figures that the rule asks for moved: the rule itself was changed."


def build_list_feed(renderer: Renderer, on_list: ListMembers) -> bytes:
    """The Atom feed of a list: who joined and left between records, and the list's beginning."""
    running = on_list.running
    page = renderer.address(urls.running_list(running.slug))
    known = memberships.select_records(renderer.content.releases, running.slug)
    head = atom.FeedHead(
        page,
        f"{renderer.settings.title}: {running.title}",
        running.summary,
        urls.list_feed(running.slug),
        urls.running_list(running.slug),
    )
    entries = [
        _build_entry(renderer, on_list, event, page)
        for event in memberships.find_list_events(renderer.content.releases, running.slug)
    ]
    if known:
        first = known[0]
        names = [first.name(slug) for slug in first.lists[running.slug]]
        words = f"On the list in its first record: {', '.join(names) or 'no bike'}."
        title = f"The list begins with {format_count(len(names), 'bike')}"
        entries.append(
            atom.FeedEntry(f"{page}#begins", page, title, first.day, f"<p>{escape(words)}</p>")
        )
    return atom.build_feed(renderer, head, entries)


def _build_entry(
    renderer: Renderer, on_list: ListMembers, event: ListEvent, page: str
) -> atom.FeedEntry:
    verb = "Joins" if event.what == "entered" else "Leaves"
    release = event.after if event.what == "entered" else event.before
    reasons = [
        f"{title}: {_strip_tags(old)} → {_strip_tags(new)}"
        for title, old, _, new in _find_changes(renderer, on_list, event)
    ]
    if not reasons:
        fresh = event.what == "entered" and event.slug not in event.before.figures
        reasons = ["New in this guide." if fresh else _explain_without_move(on_list, event)]
    items = "".join(f"<li>{escape(words)}</li>" for words in reasons)
    return atom.FeedEntry(
        f"{page}#{event.day}-{event.slug}-{event.what}",
        page,
        f"{verb}: {release.name(event.slug)}",
        event.day,
        f"<p>{escape(f'{day_in_words(event.day)}. What the rule asks for, and what is different:')}</p><ul>{items}</ul>",
    )


def _strip_tags(words: Markup | str) -> str:
    return words.striptags() if isinstance(words, Markup) else words
