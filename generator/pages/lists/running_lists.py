"""Lists that keep themselves: the rule in words, who fits it and why, and since when; beside it who left, and a feed of each."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from markupsafe import Markup

from generator.content.model import RunningList
from generator.figures.criteria.criteria import running as in_a_sentence
from generator.figures.criteria.running_lists import Roll, Standing
from generator.figures.model import Figure
from generator.figures.records import memberships
from generator.figures.records.memberships import Since
from generator.pages.feed import moved_figures
from generator.pages.frame import numbers, structured_data, urls
from generator.pages.frame.jobs import Job, seeing
from generator.pages.frame.output import Output
from generator.pages.frame.pagination import ROWS, Leaf, leaves
from generator.pages.frame.renderer import Page, Renderer, dated
from generator.pages.lists.departures import Gone, feed, gone
from generator.specs.bike import Bike

TITLE = "Running lists"
DESCRIPTION = (
    "Bikes that fit a rule. Nobody picks them: each list is worked out anew whenever a figure changes, "
    "and says why a bike is on it and since when."
)


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
class Told:
    """What a page of a list tells of the whole catalogue."""

    leaf: Leaf
    title: str
    summary: str
    slug: str
    show: tuple[str, ...]
    """Ids of the figures in the table."""
    rule: str
    """In words."""
    count: str
    order: str
    reasons: tuple[str, ...]
    """Why each bike of the page is on the list, in the order of the page."""
    edges: tuple[bool, ...]
    since: tuple[Since | None, ...]
    first: date | None
    """Day of the first record that knows the list."""


@dataclass(frozen=True)
class Aside:
    """What the first page alone says."""

    body: str = ""
    gone: Sequence[Gone] = ()
    unknown: Sequence[Standing] = ()


def jobs(renderer: Renderer) -> Iterator[Job]:
    """One for each list, one for each further page of it, and one over all; nothing for a publication without lists."""
    rolls = renderer.history.rolls
    for running in renderer.content.lists:
        roll = rolls.get(running.slug)
        pages = _pages(renderer, roll) if roll else []
        yield Job(partial(_first, renderer, running, roll, pages[:1]))
        for told, bikes in pages[1:]:
            yield seeing(renderer, bikes, partial(_further, told), told)
    if rolls:
        yield Job(partial(_all, renderer, rolls))


def _pages(renderer: Renderer, roll: Roll) -> list[tuple[Told, list[Bike]]]:
    """Each page of a list with its bikes."""
    running, releases = roll.running, renderer.content.releases
    order = renderer.table.kinds[running.order_by]
    known = memberships.knowing(releases, running.slug)
    since = memberships.since(releases, running.slug, roll.slugs)
    pages = []
    for leaf in leaves(urls.running_list(running.slug), len(roll.members)):
        own = leaf.of(roll.members)
        told = Told(
            leaf,
            running.title,
            running.summary,
            running.slug,
            tuple(id for id in running.show if id in renderer.table.kinds),
            roll.criteria.words,
            f"{len(roll.members)} of {moved_figures.counted(len(renderer.table.bikes), 'bike')}",
            f"{order.title.lower()}, {'lowest' if running.ascending else 'highest'} first",
            tuple(_sentence(each.judgement.reasons) for each in own),
            tuple(each.judgement.edge for each in own),
            tuple(since.get(each.bike.slug) for each in own),
            known[0].day if known else None,
        )
        pages.append((told, [each.bike for each in own]))
    return pages


def _first(
    renderer: Renderer,
    running: RunningList,
    roll: Roll | None,
    pages: Sequence[tuple[Told, list[Bike]]],
) -> Iterator[Output]:
    """The first page and the feed; where its rule cannot be read, what is wrong is kept for the end of the run."""
    path = urls.running_list(running.slug)
    body = renderer.prose(running, path)
    if roll is None:
        return
    for told, bikes in pages:
        aside = Aside(body, gone(renderer, roll, path), roll.unknown)
        yield renderer.render_page(_list(renderer, told, bikes, aside))
    yield Output(urls.list_feed(running.slug), feed(renderer, roll))


def _further(told: Told, renderer: Renderer) -> Iterator[Output]:
    yield renderer.render_page(_list(renderer, told, renderer.table.bikes, Aside()))


def _all(renderer: Renderer, rolls: dict[str, Roll]) -> Iterator[Output]:
    yield renderer.render_page(_index(renderer, rolls))


def _index(renderer: Renderer, rolls: dict[str, Roll]) -> Page:
    path = urls.LISTS
    return Page(
        path=path,
        template="running_lists.html",
        title=TITLE,
        description=DESCRIPTION,
        above=(("Bikes", urls.BIKES),),
        values={
            "lists": [
                (
                    roll.running.title,
                    urls.link(path, urls.running_list(slug)),
                    roll.running.summary,
                    moved_figures.counted(len(roll.members), "bike"),
                )
                for slug, roll in rolls.items()
            ],
            "changes": urls.link(path, urls.CHANGES),
        },
    )


def _list(renderer: Renderer, told: Told, bikes: Sequence[Bike], aside: Aside) -> Page:
    leaf, path = told.leaf, told.leaf.path
    kinds = [renderer.table.kinds[id] for id in told.show]
    rows = zip(bikes, told.reasons, told.edges, told.since, strict=True)
    return Page(
        path=path,
        template="running_list.html",
        title=told.title if leaf.first else f"{told.title}, {leaf.span}",
        description=told.summary,
        above=(
            ("Bikes", urls.BIKES),
            (TITLE, urls.LISTS),
            *(() if leaf.first else ((told.title, urls.running_list(told.slug)),)),
        ),
        data=(
            structured_data.item_list([renderer.address(urls.bike(bike.slug)) for bike in bikes]),
        ),
        values={
            "told": told,
            "body": aside.body,
            "heads": [(kind, urls.link(path, numbers.explained_at(kind.id))) for kind in kinds],
            "members": [
                Member(
                    bike.slug,
                    bike.full_name,
                    urls.link(path, urls.bike(bike.slug)),
                    since is not None and since.how == "after the last record",
                    [
                        _number(renderer, renderer.table.get(bike.slug, id), path)
                        for id in told.show
                    ],
                    reasons,
                    edge,
                    _since_words(since),
                )
                for bike, reasons, edge, since in rows
            ],
            "gone": aside.gone,
            "unknown": [
                (
                    each.bike.full_name,
                    urls.link(path, urls.bike(each.bike.slug)),
                    " and ".join(map(in_a_sentence, each.judgement.lacking)),
                )
                for each in aside.unknown[:ROWS]
            ],
            "cannot": len(aside.unknown),
            "feed": urls.link(path, urls.list_feed(told.slug)),
            "all": urls.link(path, urls.LISTS),
        },
    )


def _number(renderer: Renderer, figure: Figure | None, path: str) -> Markup:
    """A figure, and within which bounds it is likely."""
    number = renderer.number(figure, path)
    likely = numbers.likely_html(figure, first=renderer.system) if figure else ""
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
