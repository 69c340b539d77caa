"""Lists that keep themselves: the rule in words, who fits it and why, since when, who left, and a feed of each."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

from markupsafe import Markup

from generator.content.releases import Release
from generator.figures import memberships, record
from generator.figures.criteria import running as in_a_sentence
from generator.figures.criteria_fields import FIELDS
from generator.figures.memberships import Event, Since
from generator.figures.model import Figure
from generator.figures.running import Roll, Standing
from generator.pages import atom, jsonld, moved, numbers, places
from generator.pages.leaves import ROWS, Leaf, leaves
from generator.pages.output import Output
from generator.pages.press import Press, Sheet, dated, day

TITLE = "Running lists"
DESCRIPTION = (
    "Bikes that fit a rule. Nobody picks them: each list is worked out anew whenever a figure changes, "
    "and says why a bike is on it and since when."
)

SMALL = ", by less than it is shown with"


@dataclass(frozen=True)
class Member:
    slug: str
    name: str
    href: str
    fresh: bool
    """Since the last record."""
    cells: list[Markup]
    reasons: str
    edge: bool
    since: Markup
    """A sentence; empty where no record knows the list."""


@dataclass(frozen=True)
class Gone:
    """A bike that has left."""

    name: str
    href: str
    when: Markup
    reasons: list[Markup]


def outputs(press: Press) -> Iterator[Output]:
    """Nothing for a publication without lists."""
    rolls = press.history.rolls
    for running in press.content.lists:
        path = places.running_list(running.slug)
        body = press.prose(
            running, path
        )  # keeps what is wrong with its rule for the end of the run
        if running.slug in rolls:
            roll = rolls[running.slug]
            for leaf in leaves(path, len(roll.members)):
                yield press.printed(_list(press, roll, body, leaf))
            yield Output(places.list_feed(running.slug), _feed(press, rolls[running.slug]))
    if rolls:
        yield press.printed(_index(press, rolls))


def _index(press: Press, rolls: dict[str, Roll]) -> Sheet:
    path = places.LISTS
    return Sheet(
        path=path,
        template="running_lists.html",
        title=TITLE,
        description=DESCRIPTION,
        above=(("Bikes", places.BIKES),),
        values={
            "lists": [
                (
                    roll.running.title,
                    places.link(path, places.running_list(slug)),
                    roll.running.summary,
                    moved.counted(len(roll.members), "bike"),
                )
                for slug, roll in rolls.items()
            ],
            "changes": places.link(path, places.CHANGES),
        },
    )


def _list(press: Press, roll: Roll, body: Markup, leaf: Leaf) -> Sheet:
    running, path = roll.running, leaf.path
    kinds = [press.table.kinds[id] for id in running.show if id in press.table.kinds]
    own = leaf.of(roll.members)
    since = memberships.since(
        press.content.releases, running.slug, (each.bike.slug for each in own)
    )
    members = [_member(press, roll, each, path, since.get(each.bike.slug)) for each in own]
    order = press.table.kinds[running.order_by]
    known = memberships.knowing(press.content.releases, running.slug)
    return Sheet(
        path=path,
        template="running_list.html",
        title=running.title if leaf.first else f"{running.title}, {leaf.span}",
        description=running.summary,
        above=(
            ("Bikes", places.BIKES),
            (TITLE, places.LISTS),
            *(() if leaf.first else ((running.title, places.running_list(running.slug)),)),
        ),
        data=(jsonld.item_list([press.address(places.bike(each.slug)) for each in members]),),
        values={
            "running": running,
            "body": body,
            "rule": roll.criteria.words,
            "leaf": leaf,
            "count": f"{len(roll.members)} of {moved.counted(len(press.table.bikes), 'bike')}",
            "order": f"{order.title.lower()}, {'lowest' if running.ascending else 'highest'} first",
            "heads": [(kind, places.link(path, numbers.explained_at(kind.id))) for kind in kinds],
            "members": members,
            "gone": _gone(press, roll, path) if leaf.first else [],
            "unknown": [
                (
                    each.bike.full_name,
                    places.link(path, places.bike(each.bike.slug)),
                    " and ".join(map(in_a_sentence, each.judgement.lacking)),
                )
                for each in (roll.unknown[:ROWS] if leaf.first else ())
            ],
            "cannot": len(roll.unknown),
            "first": known[0].day if known else None,
            "feed": places.link(path, places.list_feed(running.slug)),
            "all": places.link(path, places.LISTS),
        },
    )


def _member(press: Press, roll: Roll, each: Standing, path: str, since: Since | None) -> Member:
    slug = each.bike.slug
    figures = [press.table.get(slug, id) for id in roll.running.show if id in press.table.kinds]
    cells = [_number(press, figure, path) for figure in figures]
    return Member(
        slug,
        each.bike.full_name,
        places.link(path, places.bike(slug)),
        since is not None and since.how == "after the last record",
        cells,
        _sentence(each.judgement.reasons),
        each.judgement.edge,
        _since_words(since),
    )


def _number(press: Press, figure: Figure | None, path: str) -> Markup:
    """A figure, and within which bounds it is likely."""
    number = press.number(figure, path)
    likely = numbers.likely_html(figure, first=press.system) if figure else ""
    return (
        number + Markup('<span class="catalogue__likely">{}</span>').format(likely)
        if likely
        else number
    )


def _sentence(reasons: Sequence[str]) -> str:
    """The reasons as one sentence, without its full stop."""
    first, *rest = reasons or ("",)
    return "; ".join([first, *map(in_a_sentence, rest)])


def _since_words(since: Since | None) -> Markup:
    if since is None:
        return Markup("")
    words = {
        "entered": "On the list since {}.",
        "first record": "On the list since the first record of it, {}.",
        "after the last record": "New since the last record, {}.",
    }
    return Markup(words[since.how]).format(dated(since.day))


def _gone(press: Press, roll: Roll, path: str) -> list[Gone]:
    history = press.history
    if history.now is None:
        return []
    found = memberships.departures(
        press.content.releases, roll.running.slug, history.now, roll.slugs
    )
    return [
        Gone(
            event.before.name(event.slug),
            moved.bike_href(press, event.slug, path),
            Markup("since the last record, {}" if late else "{}").format(dated(event.day)),
            [Markup("{}: {}{}{}").format(*parts) for parts in _why(press, roll, event)]
            or [Markup("{}").format(_without_move(roll, event))],
        )
        for event, late in found
    ]


def _why(
    press: Press, roll: Roll, event: Event
) -> Iterator[tuple[str, Markup | str, Markup, Markup | str]]:
    """What the rule asks for and what is not what it was: title, old, arrow, new."""
    sides = (event.before, event.after)
    if any(event.slug not in each.figures for each in sides):
        return
    for name in roll.criteria.reads:
        if name in FIELDS:
            old, new = (each.fields.get(event.slug, {}).get(name, "not known") for each in sides)
            if old != new:
                yield FIELDS[name].title, old, moved.ARROW, new
            continue
        was, now = (record.figure_in(each, event.slug, name, press.table) for each in sides)
        if _numbers(event.before, event.slug, name) != _numbers(event.after, event.slug, name):
            title = press.table.kinds[name].short
            old, new = moved.value(press, was), moved.value(press, now)
            yield title, old, moved.ARROW, Markup("{}{}").format(new, SMALL if old == new else "")


def _numbers(release: Release, slug: str, id: str) -> tuple[float, ...] | None:
    return release.figures.get(slug, {}).get(id)


def _without_move(roll: Roll, event: Event) -> str:
    if event.slug not in event.after.figures:
        return "It is no longer in this guide."
    return "None of its figures that the rule asks for moved: the rule itself was changed."


def _feed(press: Press, roll: Roll) -> bytes:
    """Entries and exits between records, and the list's beginning."""
    running = roll.running
    page = press.address(places.running_list(running.slug))
    known = memberships.knowing(press.content.releases, running.slug)
    head = atom.Head(
        page,
        f"{press.settings.title}: {running.title}",
        running.summary,
        places.list_feed(running.slug),
        places.running_list(running.slug),
    )
    entries = [
        _entry(press, roll, event, page)
        for event in memberships.events(press.content.releases, running.slug)
    ]
    if known:
        first = known[0]
        names = [first.name(slug) for slug in first.lists[running.slug]]
        words = f"On the list in its first record: {', '.join(names) or 'no bike'}."
        title = f"The list begins with {moved.counted(len(names), 'bike')}"
        entries.append(
            atom.Entry(f"{page}#begins", page, title, first.day, f"<p>{escape(words)}</p>")
        )
    return atom.feed(press, head, entries)


def _entry(press: Press, roll: Roll, event: Event, page: str) -> atom.Entry:
    verb = "Joins" if event.what == "entered" else "Leaves"
    release = event.after if event.what == "entered" else event.before
    reasons = [
        f"{title}: {_plain(old)} → {_plain(new)}" for title, old, _, new in _why(press, roll, event)
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
