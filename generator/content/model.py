"""The content that people write, read and checked: settings, riders, routes, texts, terms, references."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from generator.content.money.read import PriceObservation, ShopLink
from generator.content.releases import Release
from generator.content.texts.chapters import Chapter

CHANGELOG = "content/changelog.md"


@dataclass(frozen=True)
class Settings:
    """Settings of the publication: `content/site.yaml`."""

    title: str
    tagline: str
    address: str
    """Absolute address of the site, ending in a slash; used for canonical links and feeds only."""
    language: str
    region: str
    currency: str
    electricity_price: float
    """Price of a kilowatt-hour in `currency`."""
    units: str
    """Units shown first: metric or us."""
    notice: str
    """Notice on every page, such as that the demo is invented; empty for a real publication."""
    stale_price_days: int
    """Age from which a price is old. [days]"""
    stale_source_days: int
    """Age from which a source is old. [days]"""
    repository: str | None = None
    new_file: str | None = None
    """Address of the repository's page for a new file, with `{path}` and `{text}`."""
    licence: str = ""
    updated: date | None = None
    """Day on which the publication was last gone through."""
    stale_guide_days: int = 180
    """Age of its last check from which a guide is old. [days]"""
    untrue_sentences: str = "stop"
    """Treatment of a tested sentence that is not true: stop (nothing is built) or leave out (with a warning)."""
    disclosure: Mapping[str, str] = field(default_factory=dict)
    """Relation to the sentence that discloses it to readers, where it is not the usual sentence."""


@dataclass(frozen=True)
class Rider:
    """A rider of `content/riders.yaml`, in SI units."""

    id: str
    name: str
    mass: float
    """Mass with clothes. [kg]"""
    load: float
    """Mass of the bags. [kg]"""
    power: float
    """Sustained power at the pedals. [W]"""
    cadence: float
    """Comfortable cadence. [rpm]"""
    upper_cadence: float
    """Highest comfortable cadence, above which the power falls off. [rpm]"""
    summary: str = ""
    default: bool = False


@dataclass(frozen=True)
class Route:
    """A route of `content/routes/`, in SI units; tuples run along the route."""

    id: str
    """Id, such as `rolling`."""
    name: str
    summary: str
    distance: tuple[float, ...]
    """Distance of each point from the start. [m]"""
    elevation: tuple[float, ...]
    """Elevation of each point. [m]"""
    surface: tuple[str, ...]
    """Surface of the stretch that begins at each point: smooth, rough or gravel."""
    stops: tuple[float, ...]
    """Distance from the start at which the rider must stop. [m]"""
    wind: float
    """Wind at rider height, a headwind for the first half and a tailwind for the second. [m/s]"""
    temperature: float
    """[°C]"""
    source: str = ""
    default: bool = False


@dataclass(frozen=True)
class Text:
    """A Markdown file with front matter: a guide, a page, a glossary term."""

    slug: str
    file: str
    title: str
    summary: str
    body: str
    """Markdown with live figures, before rendering."""
    body_line: int
    """Line of the file on which the body begins."""
    order: int = 0
    checked: date | None = None
    """Day on which it was last checked against the data."""
    chapters: tuple[Chapter, ...] = field(default=(), kw_only=True)
    """Chapters of its video; empty when there is none."""
    checked_line: int = field(default=0, kw_only=True)
    """Line of the file with `checked`; 0 when there is none."""


@dataclass(frozen=True)
class RunningList(Text):
    """A list of the bikes that meet its criteria, which changes when figures change; `body` is its introduction."""

    where: tuple[tuple[str, object], ...] = ()
    """Key and condition of each criterion, as written; `figures` interprets them."""
    order_by: str = "spec.price"
    """Id of the figure by which bikes are sorted."""
    ascending: bool = True
    show: tuple[str, ...] = ()
    """Ids of the figures in the list's table."""
    lines: tuple[tuple[str, int, int], ...] = ()
    """Each key of `where`, `order_by` and each id of `show`, as `where.price`, with its line and column."""


@dataclass(frozen=True)
class Term(Text):
    """A glossary term; `summary` is its plain definition in one or two sentences."""

    unit: str = ""
    see: tuple[str, ...] = ()
    """Slugs of related terms."""
    aliases: tuple[str, ...] = ()
    """Other words that readers may look for; also linked in guides."""
    group: str = ""
    link: bool = True
    """Is the word linked in texts automatically? False for everyday words."""
    figures: tuple[str, ...] = ()
    """Ids of the figures that it explains; its page works out the first."""
    inputs: tuple[str, ...] = ()
    """Ids of the inputs that it explains, for a term that no figure fits."""
    bike: str = ""
    """Slug of the bike whose figure is worked out; empty for the median bike."""
    lines: tuple[tuple[str, int], ...] = ()
    """Each of `figures` and `inputs`, and `bike`, with its line in the file."""


@dataclass(frozen=True)
class Reference:
    """A published source of `content/sources.yaml`."""

    id: str
    citation: str
    url: str | None = None
    read: str = ""
    """How it is known: `read`, `second-hand` or `memory`."""


@dataclass(frozen=True)
class Content:
    """Everything in the content folder."""

    settings: Settings
    riders: tuple[Rider, ...]
    routes: tuple[Route, ...]
    guides: tuple[Text, ...]
    terms: tuple[Term, ...]
    pages: tuple[Text, ...]
    """The publication's own pages, such as about and testing."""
    references: tuple[Reference, ...]
    changelog: Text | None = None
    lists: tuple[RunningList, ...] = ()
    """Running lists, by order and then by title."""
    releases: tuple[Release, ...] = ()
    """Records of what was published, oldest first."""
    prices: tuple[PriceObservation, ...] = ()
    """Observed prices, by bike, seller, currency and day."""
    links: tuple[ShopLink, ...] = ()
    """Links to sellers, in the order of their file."""
    day: date | None = None
    """Day by which the age of prices is judged; None when it is not known."""

    @property
    def rider(self) -> Rider:
        """The rider that the publication marks as default, else the first."""
        return next((each for each in self.riders if each.default), self.riders[0])

    @property
    def route(self) -> Route:
        """The route that the publication marks as default, else the first."""
        return next((each for each in self.routes if each.default), self.routes[0])

    @property
    def model_inputs(self) -> "Content":
        """All that figures take from the content: settings, riders and routes."""
        return Content(self.settings, self.riders, self.routes, (), (), (), ())

    @cached_property
    def term_index(self) -> tuple["Term", ...]:
        """The glossary terms without their texts: what they are called, and what they explain."""
        return tuple(
            Term(
                **vars(_without_text(term)),
                aliases=term.aliases,
                link=term.link,
                figures=term.figures,
                inputs=term.inputs,
            )
            for term in self.terms
        )

    @cached_property
    def page_index(self) -> tuple[Text, ...]:
        """The publication's own pages without their texts: what they are called."""
        return tuple(map(_without_text, self.pages))

    @cached_property
    def link_relations(self) -> tuple[tuple[str, str, str], ...]:
        """Id, address and relation of each link to a seller: what readers must be told wherever it stands."""
        return tuple((link.id, link.url, link.relation) for link in self.links)

    @property
    def sections(self) -> tuple[bool, bool, bool]:
        """Whether there are running lists, a changelog, prices."""
        return bool(self.lists), self.changelog is not None, bool(self.prices or self.links)

    @cached_property
    def priced_bikes(self) -> frozenset[str]:
        """Slugs of bikes with a recorded price or link, which have a page of prices."""
        prices = {price.bike for price in self.prices}
        return frozenset(prices | {link.bike for link in self.links if link.bike})

    @property
    def texts(self) -> tuple[Text, ...]:
        """All Markdown files of the content."""
        changelog = (self.changelog,) if self.changelog is not None else ()
        return (*self.guides, *self.terms, *self.pages, *self.lists, *changelog)


def _without_text(text: Text) -> Text:
    return Text(text.slug, text.file, text.title, summary="", body="", body_line=0)
