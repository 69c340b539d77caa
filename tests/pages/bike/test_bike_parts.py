"""Parts of a bike's page: order, load, sensitivity, own tests, claims, rides."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from generator.content.model import Rider
from generator.figures import units
from generator.figures.model import Figure
from generator.figures.rides.claim_rides import ClaimRide
from generator.figures.rides.own_rides import RideCheck
from generator.figures.table.figures_table import FiguresTable
from generator.figures.uncertainty.what_if import Effect
from generator.pages.bike import own_tests, record, sensitivity
from generator.pages.frame.headlines import select_headlines
from generator.pages.frame.renderer import Renderer
from generator.pages.notices import cautions
from generator.pages.reference import claims, report_card
from generator.specs.bike import MeasuredRide, OwnTest, Stated
from tests.pages import site_example as example
from tests.pages.rendered import outputs_of

RIDER = Rider("everyday", "the everyday rider", 75.0, 5.0, 80.0, 70.0, 90.0, default=True)
BETA = example.BIKES[1]


def renderer(table: FiguresTable) -> Renderer:
    return Renderer(table, example.CONTENT, Path("nowhere"))


def plain(text: str) -> str:
    """Replace no-break spaces by plain ones."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


def mass(kilograms: float, id: str = "spec.mass") -> Figure:
    kind = example.kind(id, "Mass", units.MASS)
    return example.figure("invor-beta", kind, kilograms, kilograms, kilograms)


def test_headlines_in_the_order_in_which_a_beginner_asks() -> None:
    """How far, how steep, how heavy, then the feel; an unknown figure comes last. House rule."""
    kinds = [
        example.kind(id, id, units.RATIO, headline=True)
        for id in ("novel.thing", "assist.share", "spec.mass", "hills.steepest", "range.rolling")
    ]
    kinds.append(example.kind("range.flat", "no headline", units.DISTANCE))

    assert [kind.id for kind in select_headlines(kinds)] == [
        "range.rolling", "hills.steepest", "spec.mass", "assist.share", "novel.thing"
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("permitted", "said"),
    [
        (130.0, "come to 106 kg (234 lb), which leaves 24 kg (53 lb)"),
        (
            100.0,
            "6 kg (13 lb) over the permitted total mass of 100 kg (220 lb). Do not ride it so.",
        ),
    ],
)
def test_rider_and_load_against_the_permitted_mass(permitted: float, said: str) -> None:
    """26.1 + 75 + 5 kg is 106.1 kg; 1 lb is 0.45359237 kg (yard and pound agreement, 1959)."""
    caution = cautions.describe_load(mass(26.1), mass(permitted, "spec.permitted_mass"), RIDER)

    assert said in plain(caution)


def test_an_unknown_permitted_mass_is_said() -> None:
    assert "not stated" in cautions.describe_load(mass(26.1), None, RIDER)


def test_bars_stand_where_the_values_are() -> None:
    """From 20 to 60 km over the 108 px between the edges: 20 km at 6, 40 km at 60, 60 km at 114."""
    table = example.table()
    kind = example.KINDS[0]
    table.figures["invor-beta"][kind.id] = example.figure("invor-beta", kind, 4e4, 3e4, 5e4)
    effects = [Effect("Wind", "0 m/s", "5 m/s", 60_000.0, 20_000.0)]
    moved = sensitivity.list_sensitivities(
        renderer(replace(table, effects={"invor-beta": {kind.id: effects}})), BETA
    )

    assert moved[0].rows[0].bar == sensitivity.Bar(little=114, much=6, mark=60)
    assert "60 km" in plain(moved[0].rows[0].at_little)
    assert "data-figure" not in moved[0].rows[0].at_little


def test_a_figure_without_a_bar_keeps_its_row() -> None:
    effects = {"invor-beta": {"assist.share": [Effect("Wind", "0 m/s", "5 m/s", 0.4, 0.3)]}}
    moved = sensitivity.list_sensitivities(
        renderer(replace(example.table(), effects=effects)), BETA
    )

    assert moved[0].rows[0].bar is None
    assert "40 %" in plain(moved[0].rows[0].at_little)


def own_test(what: str, value: str, conditions: str) -> OwnTest:
    return OwnTest(what, Stated(1.0, value, "measured"), date(2026, 10, 12), "tape", conditions)


def test_own_tests_stand_beside_claim_and_figure() -> None:
    """A braking distance is shown only with its speed; a value that was never claimed is marked so."""
    bike = replace(
        BETA,
        tests=(
            own_test("mass", "26.8 kg", "dry"),
            own_test("take-up angle", "31°", "level 3"),
            own_test("braking distance", "4.6 m", "dry asphalt"),
            own_test("braking distance", "4.4 m", "from 25 km/h, dry asphalt"),
        ),
    )
    table = example.table()
    kind = example.kind("assist.take_up_angle", "Take-up", units.ANGLE)
    table.figures["invor-beta"][kind.id] = example.figure("invor-beta", kind, 0.6, 0.5, 0.7)
    rows = own_tests.compare_tests(renderer(table), bike, "bikes/invor-beta/index.html")

    assert [row.test.value.text for row in rows] == ["26.8 kg", "31°", "4.4 m"]
    assert [row.claimed for row in rows] == ["26.1 kg", "not stated", "not stated"]
    assert rows[0].computed == rows[2].computed == "not computed"
    assert "34°" in rows[1].computed


def test_the_widest_claim_comes_first() -> None:
    """3 times comes before 1.5 times; bikes without a claim are named below."""
    table = example.table()
    kind = example.kind(claims.RANGE, "Claimed over computed", units.RATIO)
    for slug, ratio in (("invor-alpa", 1.5), ("invor-gamma", 3.0)):
        table.figures[slug][kind.id] = example.figure(slug, kind, ratio, ratio, ratio)
    words = {"invor-gamma": ClaimRide("invor-gamma", 1e5, "slow", "At no more than 15 km/h.")}
    made = renderer(replace(table, claims=words))
    (output,) = outputs_of(made, claims.plan_jobs(made))
    page = output.data.decode()

    assert 0 < page.index(">Invor Gamma</a>") < page.index(">Invor Alpa</a>")
    assert "At no more than 15 km/h." in page
    assert "0 of 2 claims" in page
    assert "Invor Beta, Invor Delta" in page


def check(measured: float, computed: float) -> RideCheck:
    distance = Stated(30_000.0, "30 km", "measured")
    ride = MeasuredRide("rolling", "everyday", "Mild", distance, None, None, date(2026, 10, 12))
    low, high = 0.9 * computed, 1.1 * computed
    return RideCheck("invor-beta", ride, measured, computed, low, high, measured / computed - 1.0)


CHECKS = (check(36.0, 36.0), check(39.6, 36.0), check(43.2, 36.0))
"""Rides 0 %, 10 % and 20 % above the computed 36 J/m, which is 10 Wh/km."""


def test_report_card_counts_and_means() -> None:
    """Two of three lie within 10 %; the mean of 0, 10 and 20 % is 10 %; 80 % of three is 2.4."""
    assert report_card.summarize_rides(CHECKS) == (
        "2 of 3 rides lie inside an 80 % interval, where 2 should. On average the bikes took 10 % more than "
        "computed; a single ride is off by 10 % either way."
    )
    assert report_card.summarize_rides(()) == "No ride has been metered yet."


def test_report_card_shows_the_worst_miss_first() -> None:
    table = replace(example.table(), rides=CHECKS)
    page = plain(next(report_card.outputs(renderer(table))).data.decode())

    assert page.index("+20 %") < page.index("+10 %")
    assert "9.0 to 11.0 Wh/km" in page
    assert page.count("<b>outside</b>") == 1


def test_a_word_that_the_sheet_leaves_out_is_said_to_be_assumed() -> None:
    facts = dict(record.list_facts(replace(BETA, assumed=("position", "drivetrain.drive"))))

    assert facts["Frame"].endswith("(assumed) position")
    assert facts["Drive"].endswith("(assumed)")
    assert "assumed" not in facts["Tread"]
