"""The contents of a comparison: its parts, in the order in which a beginner asks, and a few stated facts."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from math import prod

from generator.figures.model import FigureKind
from generator.pages import law as law_page
from generator.pages.bike.sections import SECTION_DEFINITIONS
from generator.pages.frame import urls
from generator.pages.frame.headlines import find_question, select_headlines
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike, Drivetrain

MOST_BIKES = 4
"""Most bikes in one comparison."""
ORDER = ("far", "steep", "spec", "gears", "feel", "cost")
STATED = ("spec", "What it weighs, costs and is built for", ("spec",))
NOT_KNOWN = "not known"
UNKNOWN_TEXTS = (NOT_KNOWN, law_page.SHORT_WORDS["unknown"])
"""Texts for a fact that is not known."""
LEFT_OUT_GROUPS = ("claims",)
"""Groups of figures left out, because they have a page of their own."""


@dataclass(frozen=True)
class ComparisonPart:
    """A part of a comparison with its kinds of figures."""

    id: str
    title: str
    kinds: list[FigureKind]


def group_kinds(kinds: Iterable[FigureKind]) -> list[ComparisonPart]:
    """The main figures first, then all others that describe the whole bike, each kind once."""
    compared = [
        each for each in kinds if each.group not in LEFT_OUT_GROUPS and each.id.count(".") == 1
    ]
    first = select_headlines(compared)
    known = {part.id: (part.id, part.title, part.groups) for part in SECTION_DEFINITIONS} | {
        "spec": STATED
    }
    found = [ComparisonPart("main", "Main figures", first)]
    rest = [each for each in compared if not each.headline]
    for id, title, groups in (known[id] for id in ORDER):
        found.append(ComparisonPart(id, title, [each for each in rest if each.group in groups]))
    placed = {each.id for part in found for each in part.kinds}
    others = [each for each in rest if each.id not in placed]
    return [
        part for part in (*found, ComparisonPart("others", "Other figures", others)) if part.kinds
    ]


def explain_kind(kind: FigureKind) -> str:
    """What a main figure tells a beginner: the question that it answers, and how in half a sentence."""
    asked = find_question(kind)
    how = re.split(r"[.;:] ", kind.words)[0].removesuffix(".")
    return f"{how}." if asked == kind.title else f"{asked} {how}."


def list_facts(renderer: Renderer, bike: Bike) -> dict[str, str]:
    """Facts of a bike's spec by title, in a few words; `NOT_KNOWN` for what is not known."""
    sensor = {"switchable": "cadence or torque, switchable", None: NOT_KNOWN}
    return {
        "Motor": f"{bike.motor.place}, {bike.motor.drive}",
        "Sensor": sensor.get(bike.assist.sensor, str(bike.assist.sensor)),
        "Gears": describe_gears(bike.drivetrain),
        "Frame": bike.frame,
        f"In law, {renderer.settings.region}": find_category(renderer, bike) or NOT_KNOWN,
        "Status": f"{bike.status}, {bike.year}",
    }


def describe_gears(drivetrain: Drivetrain) -> str:
    """The gears in words, such as `8-speed hub gear, belt`; without a number if the spec has none."""
    each = (drivetrain.chainrings, drivetrain.cogs, drivetrain.hub_ratios)
    count = prod(len(one) for one in each if one)
    speeds = "" if drivetrain.shifting == "single speed" or count < 2 else f"{count}-speed "
    return f"{speeds}{drivetrain.shifting}, {drivetrain.drive}"


def find_category(renderer: Renderer, bike: Bike) -> str:
    """The bike's legal category by the first rule of the publication's region; empty if no rule is known."""
    found = law_page.find_own_verdicts(renderer, bike, urls.COMPARE)
    return found[0].short if found else ""


def shorten_names(bikes: Iterable[Bike]) -> list[str]:
    """Names of the bikes, without makers if they still differ."""
    bikes = list(bikes)
    short = [bike.name for bike in bikes]
    return short if len(set(short)) == len(short) else [bike.full_name for bike in bikes]
