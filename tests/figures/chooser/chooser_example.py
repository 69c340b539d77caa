"""A small chooser for tests: two riders, two roads, made-up bikes."""

from dataclasses import replace
from typing import Any

from generator.figures.chooser.model import (
    Candidate,
    Chooser,
    ChooserAnswers,
    LawRegion,
    Ranking,
    RiderChoice,
    RouteChoice,
)
from generator.figures.chooser.ranking import BikeRanker

USUAL = ChooserAnswers(trip="10", hills="rolling", load="light", work="everyday", law="eu")

LOADS = {"light": 5.0, "shopping": 15.0, "child": 25.0, "heavy": 60.0}


def candidate(slug: str, *, km: float = 40.0, grade: float = 0.12, **more: Any) -> Candidate:
    """A bike that meets every must-have, with the same range and grade for everybody."""
    base = Candidate(
        slug=slug,
        name=slug.title(),
        status="on sale",
        uses=("city",),
        price=2000.0,
        currency="",
        mass=22.0,
        permitted=150.0,
        best_place_load=27.0,
        all_places_load=27.0,
        law={"eu": "EPAC"},
        ranges={
            (work, road, load): round(km * 10)
            for work in ("gentle", "everyday")
            for road in ("flat", "rolling")
            for load in LOADS
        },
        grades={
            (work, load): round(grade * 1000) for work in ("gentle", "everyday") for load in LOADS
        },
        range_spans={"flat": (0.8, 1.2), "rolling": (0.8, 1.2)},
        grade_span=(0.8, 1.2),
        figures={
            "hills.speed_10": (3.0, 2.5, 3.5),
            "assist.share": (0.45, 0.4, 0.5),
            "gears.spin_out_margin": (1.2, 1.1, 1.3),
            "assist.follow_slope": (0.6, 0.5, 0.7),
            "assist.take_up_time": (1.0, 0.8, 1.2),
        },
    )
    return replace(base, **more)


def chooser(*bikes: Candidate) -> Chooser:
    return Chooser(
        bikes=bikes,
        riders=(
            RiderChoice("gentle", "the gentle rider", 62.0, 50.0),
            RiderChoice("everyday", "the everyday rider", 75.0, 80.0),
        ),
        routes=(RouteChoice("flat", "the quay", 0.01), RouteChoice("rolling", "the loop", 0.085)),
        loads=LOADS,
        whole=("child",),
        uses=("city", "touring"),
        regions=(LawRegion("eu", "European Union", "eu", ("EPAC",)),),
        currency="EUR",
        bands=(1500, 2500),
        conditions={
            "climb": ("hills", ("rolling",)),
            "uphill": ("hills", ("rolling",)),
            "ease": ("work", ("gentle",)),
            "gears": ("work", ()),
            "follow": ("feel", ("follow",)),
            "steady": ("feel", ("push",)),
            "start": ("feel", ("push",)),
            "handy": ("stairs", ("no",)),
            "lift": ("stairs", ("some", "daily")),
            "cost": ("budget", ("*",)),
        },
        usual=USUAL,
    )


def rank(chooser: Chooser, answers: ChooserAnswers) -> Ranking:
    """The ranking of one set of answers."""
    return BikeRanker(chooser).rank_bikes(answers)
