"""A small table and content for the tests of prose: two invented bikes, a few figures, terms."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from generator.content.model import Content, Settings, Term, Text
from generator.figures.model import Figure, FigureKind, Scale, Unit
from generator.specs.bike import Assist, Battery, Bike, Drivetrain, Motor, Wheels

LENGTH = Unit("m", Scale("km", 0.001, 0), Scale("mi", 1 / 1609.344, 0))
MASS = Unit("kg", Scale("kg", 1.0, 1), Scale("lb", 1 / 0.45359237, 0))
SHARE = Unit("", Scale("%", 100.0, 0), Scale("%", 100.0, 0))


def kind(figure_id: str, title: str, unit: Unit) -> FigureKind:
    return FigureKind(figure_id, figure_id.split(".")[0], title, title, unit, "", "", "", "")


KINDS = {
    each.id: each
    for each in (
        kind("range.rolling", "Range on the rolling route", LENGTH),
        kind("spec.mass", "Mass", MASS),
        kind("hills.steepest", "Steepest hill", SHARE),
    )
}


def bike(slug: str, name: str, maker: str = "Pellimor") -> Bike:
    return Bike(
        slug=slug,
        file=f"bikes/{slug}.yaml",
        name=name,
        maker=maker,
        year=2026,
        status="on sale",
        uses=(),
        frame="diamond",
        motor=Motor("mid", "geared"),
        battery=Battery(),
        assist=Assist(),
        drivetrain=Drivetrain("derailleur"),
        wheels=Wheels(),
    )


def figure(slug: str, figure_id: str, value: float, low: float, high: float) -> Figure:
    return Figure(slug, KINDS[figure_id], value, low, high, "computed", "")


@dataclass
class Table:
    """What prose uses of the figures table."""

    bikes: tuple[Bike, ...]
    figures: Sequence[Figure]
    kinds: dict[str, FigureKind] = field(default_factory=lambda: dict(KINDS))

    def bike(self, slug: str) -> Bike | None:
        return next((each for each in self.bikes if each.slug == slug), None)

    def get(self, slug: str, figure_id: str) -> Figure | None:
        for each in self.figures:
            if (each.bike, each.id) == (slug, figure_id):
                return each
        return None


FENNO = bike("pellimor-fenno", "Fenno")
TALLI = bike("oskelm-talli", "Talli", "Oskelm")
TABLE = Table(
    (TALLI, FENNO),
    [
        figure("pellimor-fenno", "range.rolling", 44_000.0, 36_000.0, 52_000.0),
        figure("pellimor-fenno", "spec.mass", 26.1, 26.1, 26.1),
        figure("pellimor-fenno", "hills.steepest", 0.17, 0.17, 0.17),
        figure("oskelm-talli", "spec.mass", 22.4, 22.4, 22.4),
    ],
)


def term(slug: str, title: str, *aliases: str) -> Term:
    file = f"content/glossary/{slug}.md"
    return Term(slug, file, title, f"What {title} means.", "Body.\n", 5, aliases=aliases)


TERMS = (
    term("crr", "Rolling resistance", "Crr"),
    term("resistance", "Resistance"),
    term("cadence", "Cadence"),
    term("hub-motor", "Hub motor", "wheel motor"),
)


def content(units: str = "metric", terms: Sequence[Term] = TERMS) -> Content:
    settings = Settings(
        title="The Invented Book",
        tagline="",
        address="https://book.example/",
        language="en-GB",
        region="EU",
        currency="EUR",
        electricity_price=0.3,
        units=units,
        notice="Invented.",
        stale_price_days=90,
        stale_source_days=365,
    )
    return Content(settings, (), (), (), tuple(terms), (), ())


def text(body: str, body_line: int = 5) -> Text:
    return Text("a-guide", "content/guides/a-guide.md", "A guide", "Sum.", body, body_line)
