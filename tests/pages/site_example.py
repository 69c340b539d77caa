"""A small publication for the tests of pages: four invented bikes with invented figures."""

from dataclasses import replace
from datetime import date
from typing import Any

from generator.content.model import Content, Reference, Rider, Route, Settings, Term, Text
from generator.figures import units
from generator.figures.model import (
    Figure,
    FigureKind,
    FirstInputUse,
    Unit,
    UsedInput,
    WeighedInput,
    Working,
)
from generator.figures.table.figures_table import FiguresTable
from generator.specs.bike import (
    Assist,
    Battery,
    Bike,
    Certification,
    Correction,
    Drivetrain,
    Level,
    Motor,
    Price,
    Revision,
    Source,
    Stated,
    Wheels,
)

TRAP = '</script><script>alert(1)</script> "><b>&'
"""What an unfriendly contributor may write into a spec file."""


def kind(
    figure_id: str, title: str, unit: Unit, better: Any = "neither", headline: bool = False
) -> FigureKind:
    group = figure_id.split(".")[0]
    return FigureKind(
        figure_id,
        group,
        title,
        title,
        unit,
        "In words.",
        "a = b ÷ c",
        "Source 1998",
        "",
        better,
        headline,
    )


KINDS = (
    kind("range.rolling", "Range on the loop", units.DISTANCE, "higher", True),
    kind("range.rolling.level_1", "Range on the loop, level 1", units.DISTANCE, "higher"),
    kind("hills.steepest", "Steepest hill", units.GRADE, "higher", True),
    kind("assist.share", "Rider's share", units.SHARE, "neither", True),
    kind("spec.mass", "Mass", units.MASS, "lower", True),
    kind("battery.energy", "Battery energy", units.ENERGY),
    kind("novel.thing", "A figure of a new group", units.POWER),
)


def bike(slug: str, price: float | None = None, currency: str = "EUR", **more: Any) -> Bike:
    maker, name = slug.split("-", 1)
    base = Bike(
        slug=slug,
        file=f"bikes/{slug}.yaml",
        name=name.title(),
        maker=maker.title(),
        year=2026,
        status="on sale",
        uses=("city",),
        frame="diamond",
        motor=Motor("mid", "geared"),
        battery=Battery(),
        assist=Assist(levels=(Level("Mild"), Level("Full"))),
        drivetrain=Drivetrain("derailleur", cogs=(34, 11), chainrings=(42,)),
        wheels=Wheels(),
        price=Price(price, currency, f"{price:.0f} {currency}", date(2026, 10, 4))
        if price
        else None,
    )
    return replace(base, **more)


BIKES = (
    bike("invor-alpa", 1000.0),
    bike(
        "invor-beta",
        1200.0,
        uses=("city", "touring"),
        summary=TRAP,
        mass=Stated(26.1, "26.1 kg", source="sheet"),
        certifications=(
            Certification("EN 15194", "bike", "claimed"),
            Certification("EN 50604-1", "battery", "certificate seen", seen=date(2026, 10, 1)),
        ),
        revisions=(Revision(date(2026, 9, 1), "Milder.", "firmware"),),
        corrections=(Correction("mass", "25 kg", "26.1 kg", "Misread.", date(2026, 10, 5)),),
        sources=(
            Source(
                "sheet", "Maker's sheet", "maker", "https://invor.example/beta", date(2026, 10, 4)
            ),
        ),
    ),
    bike("invor-gamma", 1100.0, "USD", status="announced"),
    bike("invor-delta", status="withdrawn"),
)


WORKING = Working(
    (
        WeighedInput(
            UsedInput("road.model", "Real over modelled", 1.0, "1", 0.9, 1.1, "assumed", "1.00", "A paper"),
            0.8,
        ),
        WeighedInput(
            UsedInput("bike.mass", "Mass of the bike", 26.1, "kg", 26.1, 26.1, "claimed", "26.1 kg", "sheet"),
        ),
    ),
    ("= 44 km",),
)  # fmt: skip
"""The working of every figure."""


def figure(slug: str, of: FigureKind, value: float, low: float, high: float) -> Figure:
    return Figure(slug, of, value, low, high, "estimated", "the loop", "It goes far.")


VALUES = {"invor-alpa": 40_000.0, "invor-beta": 90_000.0, "invor-gamma": 60_000.0}


class ExampleDetails:
    """The details of each bike's figures, as a table asks for them."""

    def __init__(self, figures: dict[str, dict[str, Figure]]) -> None:
        self._figures = figures

    def workings(self, slug: str) -> dict[str, Working]:
        return dict.fromkeys(self._figures.get(slug, {}), WORKING)

    def curve(self, slug: str, name: str) -> list[dict[str, Any]]:
        return curves(slug, name)

    def ride_grid(self, slug: str) -> None:
        return None


def curves(slug: str, name: str) -> list[dict[str, Any]]:
    if slug not in VALUES:
        return []
    levels = ("Mild", "Full")
    return {
        "range.by_level": [
            {
                "level": level,
                "route": "the loop",
                "range": 40_000.0,
                "low": 35_000.0,
                "high": 45_000.0,
            }
            for level in levels
        ],
        "hills.speed_by_grade": [
            {
                "level": level,
                "grade": grade / 100,
                "speed": 6.0 - grade / 5,
                "low": 5.0 - grade / 5,
                "high": 7.0,
            }
            for level in levels
            for grade in range(0, 21, 5)
        ],
    }.get(name, [])


def table(bikes: tuple[Bike, ...] = BIKES) -> FiguresTable:
    figures: dict[str, dict[str, Figure]] = {one.slug: {} for one in bikes}
    for slug, value in VALUES.items():
        if slug in figures:
            for each in KINDS:
                figures[slug][each.id] = figure(slug, each, value, 0.9 * value, 1.1 * value)
    missing: dict[str, dict[str, tuple[str, ...]]] = {one.slug: {} for one in bikes}
    if "invor-delta" in missing:
        missing["invor-delta"] = {"range.rolling": ("Energy on the label",)}
    used = {given.id: FirstInputUse(KINDS[0].id, given) for given, _ in WORKING.inputs}
    return FiguresTable(
        bikes,
        {each.id: each for each in KINDS},
        figures,
        missing,
        ExampleDetails(figures),
        uses={slug: used for slug in VALUES if slug in figures},
    )


def text(folder: str, slug: str, title: str, body: str = "Body.\n") -> Text:
    return Text(
        slug,
        f"content/{folder}/{slug}.md",
        title,
        f"About {title}.",
        body,
        5,
        checked=date(2026, 11, 1),
    )


GUIDE = text(
    "guides",
    "far",
    "How far",
    'It goes {{ figure("invor-beta", "range.rolling") }}; see {{ term("range") }}.\n',
)
TERMS = (
    Term(
        "range",
        "content/glossary/range.md",
        "Range",
        "How far.",
        "More.\n",
        5,
        see=("hill",),
        group="Distance",
    ),
    Term("hill", "content/glossary/hill.md", "Hill", "A slope.", "More.\n", 5),
)
SETTINGS = Settings(
    title="The Invented Book",
    tagline="A book for tests",
    address="https://book.example/guide/",
    language="en-GB",
    region="EU",
    currency="EUR",
    electricity_price=0.3,
    units="metric",
    notice="All of this is invented.",
    stale_price_days=90,
    stale_source_days=365,
    licence="CC0 1.0",
)
ROUTE = Route(
    "rolling", "the loop", "", (0.0, 1.0), (0.0, 0.0), ("smooth", "smooth"), (), 0.0, 15.0
)
RIDER = Rider("everyday", "the everyday rider", 75.0, 5.0, 80.0, 70.0, 90.0, default=True)
CONTENT = Content(
    SETTINGS,
    (RIDER,),
    (ROUTE,),
    (GUIDE,),
    TERMS,
    tuple(text("pages", slug, slug.title()) for slug in ("about", "cautions", "method", "testing")),
    (Reference("paper", "A paper, 1998.", "https://paper.example/", "read"),),
    text("pages", "changelog", "Changes"),
)
