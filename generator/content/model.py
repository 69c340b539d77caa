"""What people write, read and checked: settings, riders, routes, texts, terms, references."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from generator.content.money.read import Observation, ShopLink
from generator.content.releases import Release
from generator.content.texts.chapters import Chapter


@dataclass(frozen=True)
class Settings:
    """`content/site.yaml`."""

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
    """metric or us: which comes first."""
    notice: str
    """Shown on every page; says that the demo is invented. Empty for a real publication."""
    stale_price_days: int
    stale_source_days: int
    repository: str | None = None
    new_file: str | None = None
    """Address of the repository's page for a new file, with `{path}` and `{text}`."""
    licence: str = ""
    updated: date | None = None
    stale_guide_days: int = 180
    """From so many days on a guide wants to be checked against the data again."""
    untrue_sentences: str = "stop"
    """What becomes of a tested sentence that does not hold: stop (nothing is built) or leave out (with a warning)."""
    disclosure: Mapping[str, str] = field(default_factory=dict)
    """Relation to the sentence that tells readers of it, where it is not the usual one."""


@dataclass(frozen=True)
class Rider:
    """`content/riders.yaml`. SI."""

    id: str
    name: str
    mass: float
    """With clothes. [kg]"""
    load: float
    """Bags. [kg]"""
    power: float
    """Sustained at the pedals. [W]"""
    cadence: float
    """Comfortable. [rpm]"""
    upper_cadence: float
    """Upper comfortable: beyond it the legs give up. [rpm]"""
    summary: str = ""
    default: bool = False


@dataclass(frozen=True)
class Route:
    """`content/routes/`. SI; tuples run along the route."""

    id: str
    """flat, rolling, hilly in the demo."""
    name: str
    summary: str
    distance: tuple[float, ...]
    """From the start. [m]"""
    elevation: tuple[float, ...]
    """[m]"""
    surface: tuple[str, ...]
    """smooth, rough, gravel; of the stretch that begins here."""
    stops: tuple[float, ...]
    """Where the rider must stop, from the start. [m]"""
    wind: float
    """Wind at rider height, against for the first half and with the rider for the second. [m/s]"""
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
    """Markdown with live figures, not yet rendered."""
    body_line: int
    """Line of the file on which the body begins."""
    order: int = 0
    checked: date | None = None
    """When last checked against the data."""
    chapters: tuple[Chapter, ...] = field(default=(), kw_only=True)
    """Of the video that goes with it; empty when there is none."""
    checked_line: int = field(default=0, kw_only=True)
    """Line of the file on which `checked` stands; 0 where it does not."""


@dataclass(frozen=True)
class RunningList(Text):
    """A list of the bikes that fit a rule, and that changes when the figures do; `body` is its introduction."""

    where: tuple[tuple[str, object], ...] = ()
    """Key and condition of each criterion, as written; the figures floor reads them."""
    order_by: str = "spec.price"
    """Id of a figure."""
    ascending: bool = True
    show: tuple[str, ...] = ()
    """Ids of the figures in the table."""
    lines: tuple[tuple[str, int, int], ...] = ()
    """Each key of `where`, `order_by` and each id of `show`, as `where.price`, with its line and column."""


@dataclass(frozen=True)
class Term(Text):
    """A glossary term; `summary` is its plain definition in one or two sentences."""

    unit: str = ""
    see: tuple[str, ...] = ()
    """Slugs of related terms."""
    aliases: tuple[str, ...] = ()
    """Other words a reader may look for; also linked in guides."""
    group: str = ""
    link: bool = True
    """Do texts link the word by themselves? Not for everyday words."""
    figures: tuple[str, ...] = ()
    """Ids of the figures that it explains; the first is worked out on its page."""
    inputs: tuple[str, ...] = ()
    """Ids of inputs of figures that it explains, for a term that no figure fits."""
    bike: str = ""
    """Slug of the bike whose number is worked out; empty: the one in the middle."""
    lines: tuple[tuple[str, int], ...] = ()
    """Each of `figures` and `inputs`, and `bike`, with its line of the file."""


@dataclass(frozen=True)
class Reference:
    """`content/sources.yaml`: a published source."""

    id: str
    citation: str
    url: str | None = None
    read: str = ""
    """`read`, `second-hand` or `memory`."""


@dataclass(frozen=True)
class Content:
    settings: Settings
    riders: tuple[Rider, ...]
    routes: tuple[Route, ...]
    guides: tuple[Text, ...]
    terms: tuple[Term, ...]
    pages: tuple[Text, ...]
    """about, cautions, method-notes, testing …"""
    references: tuple[Reference, ...]
    changelog: Text | None = None
    lists: tuple[RunningList, ...] = ()
    """Running lists, by order and then by title."""
    releases: tuple[Release, ...] = ()
    """Records of what was published, oldest first."""
    prices: tuple[Observation, ...] = ()
    """Prices that were seen, by bike, seller, currency and day."""
    links: tuple[ShopLink, ...] = ()
    """Links to sellers, in the order of their file."""
    day: date | None = None
    """The day by which old prices are judged; None when nothing says which day it is."""

    @property
    def rider(self) -> Rider:
        """The one that the publication marks as default, else the first."""
        return next((each for each in self.riders if each.default), self.riders[0])

    @property
    def route(self) -> Route:
        """Likewise."""
        return next((each for each in self.routes if each.default), self.routes[0])

    @property
    def ground(self) -> "Content":
        """All that figures take from the content: settings, riders and routes."""
        return Content(self.settings, self.riders, self.routes, (), (), (), ())

    @property
    def sections(self) -> tuple[bool, bool, bool]:
        """Are there running lists, a changelog, prices?"""
        return bool(self.lists), self.changelog is not None, bool(self.prices or self.links)

    @cached_property
    def priced(self) -> frozenset[str]:
        """Slugs of bikes with a price or a link of their own on record, which have a page of prices."""
        prices = {price.bike for price in self.prices}
        return frozenset(prices | {link.bike for link in self.links if link.bike})

    @property
    def texts(self) -> tuple[Text, ...]:
        """Everything that is written as Markdown."""
        changelog = (self.changelog,) if self.changelog is not None else ()
        return (*self.guides, *self.terms, *self.pages, *self.lists, *changelog)
