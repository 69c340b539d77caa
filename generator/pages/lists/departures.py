"""Who left a running list and why, and the feed of who joins and who leaves."""

from collections.abc import Iterator
from dataclasses import dataclass
from xml.sax.saxutils import escape

from markupsafe import Markup

from generator.content.releases import Release
from generator.figures.criteria.fields import FIELDS
from generator.figures.criteria.running_lists import Roll
from generator.figures.records import memberships, record
from generator.figures.records.memberships import Event
from generator.pages.feed import atom, moved_figures
from generator.pages.frame import urls
from generator.pages.frame.renderer import Renderer, dated, day

SMALL = ", by less than it is shown with"


@dataclass(frozen=True)
class Gone:
    """A bike that has left."""

    name: str
    href: str
    when: Markup
    reasons: list[Markup]


def gone(renderer: Renderer, roll: Roll, path: str) -> list[Gone]:
    """Those that stood on a list in some record and do not now, for the page at `path`."""
    known = memberships.knowing(renderer.content.releases, roll.running.slug)
    now = renderer.history.now_of(known[-1].lists[roll.running.slug]) if known else None
    if now is None:
        return []
    found = memberships.departures(renderer.content.releases, roll.running.slug, now, roll.slugs)
    return [
        Gone(
            event.before.name(event.slug),
            moved_figures.bike_href(renderer, event.slug, path),
            Markup("since the last record, {}" if late else "{}").format(dated(event.day)),
            [Markup("{}: {}{}{}").format(*parts) for parts in _why(renderer, roll, event)]
            or [Markup("{}").format(_without_move(roll, event))],
        )
        for event, late in found
    ]


def _why(
    renderer: Renderer, roll: Roll, event: Event
) -> Iterator[tuple[str, Markup | str, Markup, Markup | str]]:
    """What the rule asks for and what is not what it was: title, old, arrow, new."""
    sides = (event.before, event.after)
    if any(event.slug not in each.figures for each in sides):
        return
    for name in roll.criteria.reads:
        if name in FIELDS:
            old, new = (each.fields.get(event.slug, {}).get(name, "not known") for each in sides)
            if old != new:
                yield FIELDS[name].title, old, moved_figures.ARROW, new
            continue
        was, now = (record.figure_in(each, event.slug, name, renderer.table) for each in sides)
        if _numbers(event.before, event.slug, name) != _numbers(event.after, event.slug, name):
            title = renderer.table.kinds[name].short
            old, new = moved_figures.value(renderer, was), moved_figures.value(renderer, now)
            yield (
                title,
                old,
                moved_figures.ARROW,
                Markup("{}{}").format(new, SMALL if old == new else ""),
            )


def _numbers(release: Release, slug: str, id: str) -> tuple[float, ...] | None:
    return release.figures.get(slug, {}).get(id)


def _without_move(roll: Roll, event: Event) -> str:
    if event.slug not in event.after.figures:
        return "It is no longer in this guide."
    return "None of its figures that the rule asks for moved: the rule itself was changed."


def feed(renderer: Renderer, roll: Roll) -> bytes:
    """Entries and exits between records, and the list's beginning."""
    running = roll.running
    page = renderer.address(urls.running_list(running.slug))
    known = memberships.knowing(renderer.content.releases, running.slug)
    head = atom.Head(
        page,
        f"{renderer.settings.title}: {running.title}",
        running.summary,
        urls.list_feed(running.slug),
        urls.running_list(running.slug),
    )
    entries = [
        _entry(renderer, roll, event, page)
        for event in memberships.events(renderer.content.releases, running.slug)
    ]
    if known:
        first = known[0]
        names = [first.name(slug) for slug in first.lists[running.slug]]
        words = f"On the list in its first record: {', '.join(names) or 'no bike'}."
        title = f"The list begins with {moved_figures.counted(len(names), 'bike')}"
        entries.append(
            atom.Entry(f"{page}#begins", page, title, first.day, f"<p>{escape(words)}</p>")
        )
    return atom.feed(renderer, head, entries)


def _entry(renderer: Renderer, roll: Roll, event: Event, page: str) -> atom.Entry:
    verb = "Joins" if event.what == "entered" else "Leaves"
    release = event.after if event.what == "entered" else event.before
    reasons = [
        f"{title}: {_plain(old)} → {_plain(new)}"
        for title, old, _, new in _why(renderer, roll, event)
    ]
    if not reasons:
        fresh = event.what == "entered" and event.slug not in event.before.figures
        reasons = ["New in this guide." if fresh else _without_move(roll, event)]
    items = "".join(f"<li>{escape(words)}</li>" for words in reasons)
    return atom.Entry(
        f"{page}#{event.day}-{event.slug}-{event.what}",
        page,
        f"{verb}: {release.name(event.slug)}",
        event.day,
        f"<p>{escape(f'{day(event.day)}. What the rule asks for, and what is different:')}</p><ul>{items}</ul>",
    )


def _plain(words: Markup | str) -> str:
    return words.striptags() if isinstance(words, Markup) else words
