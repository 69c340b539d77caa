"""Pages of running lists: the rule in words, which bikes fit it, why and since when, and which left; a feed for each."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from markupsafe import Markup

from generator.figures.criteria.checks import lower_first_letter
from generator.figures.criteria.running_lists import JudgedBike, ListMembers
from generator.figures.model import Figure
from generator.figures.records import memberships
from generator.figures.records.memberships import MembershipStart
from generator.pages.frame import numbers, structured_data, urls
from generator.pages.frame.dates import format_date
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.pagination import ROWS_PER_PAGE, ListPage, find_list_pages
from generator.pages.frame.renderer import Renderer
from generator.pages.lists.departures import DepartedBike, build_list_feed, find_departed
from generator.specs.bike import Bike
from generator.specs.english import format_count

TITLE = "Running lists"
DESCRIPTION = (
    "Bikes that fit a rule. Nobody picks them: each list is worked out anew whenever a figure changes, "
    "and says why a bike is on it and since when."
)


@dataclass(frozen=True)
class ListedBike:
    """A bike on a list."""

    slug: str
    name: str
    href: str
    fresh: bool
    """Whether it joined after the last record."""
    cells: list[Markup]
    reasons: str
    edge: bool
    """Whether it is a close call."""
    since: Markup
    """Since when it is on the list, as a sentence; empty if no record has the list."""


@dataclass(frozen=True)
class RunningListView:
    """What a page of a list shows that depends on all bikes."""

    list_page: ListPage
    title: str
    summary: str
    slug: str
    show: tuple[str, ...]
    """Ids of the figures in the columns."""
    rule: str
    """The criteria in words."""
    count: str
    """Such as `3 of 12 bikes`."""
    order: str
    """Such as `mass, lowest first`."""
    reasons: tuple[str, ...]
    """Why each bike of the page is on the list, in the order of the page."""
    edges: tuple[bool, ...]
    since: tuple[MembershipStart | None, ...]
    first: date | None
    """Day of the first record that has the list."""


@dataclass(frozen=True)
class FirstPageParts:
    """What only the first page of a list shows."""

    body: str = ""
    gone: Sequence[DepartedBike] = ()
    unknown: Sequence[JudgedBike] = ()


def plan_jobs(renderer: Renderer) -> Iterator[Job]:
    """Yield a job for each list, one for each further page of it, and one for the index if there are lists."""
    members_by_list = renderer.whole_history.members_by_list
    for running in renderer.content.lists:
        on_list = members_by_list.get(running.slug)
        yield Job(_make_first, (running.slug,))
        for view, bikes in _list_pages(renderer, on_list)[1:] if on_list else ():
            yield Job(_make_further, (view, [bike.slug for bike in bikes]))
    if members_by_list:
        yield Job(_make_index)


def _list_pages(
    renderer: Renderer, on_list: ListMembers
) -> list[tuple[RunningListView, list[Bike]]]:
    """Each page of a list with its bikes."""
    running, releases = on_list.running, renderer.content.releases
    order = renderer.table.kinds[running.order_by]
    known = memberships.select_records(releases, running.slug)
    since = memberships.find_membership_starts(releases, running.slug, on_list.slugs)
    pages = []
    for list_page in find_list_pages(urls.running_list(running.slug), len(on_list.members)):
        own = list_page.select_rows(on_list.members)
        view = RunningListView(
            list_page,
            running.title,
            running.summary,
            running.slug,
            tuple(id for id in running.show if id in renderer.table.kinds),
            on_list.criteria.words,
            f"{len(on_list.members)} of {format_count(len(renderer.table.bikes), 'bike')}",
            f"{order.title.lower()}, {'lowest' if running.ascending else 'highest'} first",
            tuple(_join_reasons(each.judgement.reasons) for each in own),
            tuple(each.judgement.edge for each in own),
            tuple(since.get(each.bike.slug) for each in own),
            known[0].day if known else None,
        )
        pages.append((view, [each.bike for each in own]))
    return pages


def _make_first(renderer: Renderer, slug: str) -> Iterator[Output]:
    """The first page and the feed; nothing if the rule cannot be read, since its problems are reported with the text."""
    running = next(each for each in renderer.content.lists if each.slug == slug)
    on_list = renderer.whole_history.members_by_list.get(slug)
    path = urls.running_list(slug)
    body = renderer.prose(running, path)
    if on_list is None:
        return
    for view, bikes in _list_pages(renderer, on_list)[:1]:
        first_parts = FirstPageParts(body, find_departed(renderer, on_list, path), on_list.unknown)
        yield renderer.render_page(_build_list_page(renderer, view, bikes, first_parts))
    yield Output(urls.list_feed(running.slug), build_list_feed(renderer, on_list))


def _make_further(renderer: Renderer, view: RunningListView, slugs: list[str]) -> Iterator[Output]:
    yield renderer.render_page(
        _build_list_page(renderer, view, renderer.bikes(slugs), FirstPageParts())
    )


def _make_index(renderer: Renderer) -> Iterator[Output]:
    yield renderer.render_page(_build_index_page(renderer, renderer.whole_history.members_by_list))


def _build_index_page(renderer: Renderer, members_by_list: dict[str, ListMembers]) -> Page:
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
                    on_list.running.title,
                    urls.link(path, urls.running_list(slug)),
                    on_list.running.summary,
                    format_count(len(on_list.members), "bike"),
                )
                for slug, on_list in members_by_list.items()
            ],
            "changes": urls.link(path, urls.CHANGES),
        },
    )


def _build_list_page(
    renderer: Renderer, view: RunningListView, bikes: Sequence[Bike], first_parts: FirstPageParts
) -> Page:
    list_page, path = view.list_page, view.list_page.path
    kinds = [renderer.table.kinds[id] for id in view.show]
    rows = zip(bikes, view.reasons, view.edges, view.since, strict=True)
    return Page(
        path=path,
        template="running_list.html",
        title=view.title if list_page.first else f"{view.title}, {list_page.span}",
        description=view.summary,
        above=(
            ("Bikes", urls.BIKES),
            (TITLE, urls.LISTS),
            *(() if list_page.first else ((view.title, urls.running_list(view.slug)),)),
        ),
        data=(
            structured_data.build_item_list(
                [renderer.address(urls.bike(bike.slug)) for bike in bikes]
            ),
        ),
        values={
            "view": view,
            "body": first_parts.body,
            "heads": [
                (kind, urls.link(path, numbers.method_entry_path(kind.id))) for kind in kinds
            ],
            "members": [
                ListedBike(
                    bike.slug,
                    bike.full_name,
                    urls.link(path, urls.bike(bike.slug)),
                    since is not None and since.how == "after the last record",
                    [
                        _render_number(renderer, renderer.table.get(bike.slug, id), path)
                        for id in view.show
                    ],
                    reasons,
                    edge,
                    _describe_since(since),
                )
                for bike, reasons, edge, since in rows
            ],
            "gone": first_parts.gone,
            "unknown": [
                (
                    each.bike.full_name,
                    urls.link(path, urls.bike(each.bike.slug)),
                    " and ".join(map(lower_first_letter, each.judgement.lacking)),
                )
                for each in first_parts.unknown[:ROWS_PER_PAGE]
            ],
            "cannot": len(first_parts.unknown),
            "feed": urls.link(path, urls.list_feed(view.slug)),
            "all": urls.link(path, urls.LISTS),
        },
    )


def _render_number(renderer: Renderer, figure: Figure | None, path: str) -> Markup:
    """A figure with its likely interval."""
    number = renderer.number(figure, path)
    likely = numbers.likely_html(figure, first=renderer.system) if figure else ""
    return (
        number + Markup('<span class="catalogue__likely">{}</span>').format(likely)
        if likely
        else number
    )


def _join_reasons(reasons: Sequence[str]) -> str:
    """The reasons as one sentence, without its full stop."""
    first, *rest = reasons or ("",)
    return "; ".join([first, *map(lower_first_letter, rest)])


def _describe_since(since: MembershipStart | None) -> Markup:
    if since is None:
        return Markup("")
    words = {
        "entered": "On the list since {}.",
        "first record": "On the list since the first record of it, {}.",
        "after the last record": "New since the last record, {}.",
    }
    return Markup(words[since.how]).format(format_date(since.day))
