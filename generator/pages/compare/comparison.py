"""What is set side by side: the parts of a comparison in the order in which a beginner asks, and a few stated facts."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from math import prod

from generator.figures.model import Kind
from generator.pages import law as law_page
from generator.pages.bike.sections import PARTS
from generator.pages.frame import urls
from generator.pages.frame.headlines import headlines, question
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike, Drivetrain

MOST = 4
"""Bikes side by side at most."""
ORDER = ("far", "steep", "spec", "gears", "feel", "cost")
STATED = ("spec", "What it weighs, costs and is built for", ("spec",))
NOT_KNOWN = "not known"
UNTOLD = (NOT_KNOWN, law_page.SHORT["unknown"])
"""What stands for a fact that nobody gives."""
LEFT_OUT = ("claims",)
"""Groups that have a page of their own."""


@dataclass(frozen=True)
class Part:
    id: str
    title: str
    kinds: list[Kind]


def parts(kinds: Iterable[Kind]) -> list[Part]:
    """The main figures first, then all others that describe the whole bike, each kind once."""
    compared = [each for each in kinds if each.group not in LEFT_OUT and each.id.count(".") == 1]
    first = headlines(compared)
    known = {part.id: (part.id, part.title, part.groups) for part in PARTS} | {"spec": STATED}
    found = [Part("main", "Main figures", first)]
    rest = [each for each in compared if not each.headline]
    for id, title, groups in (known[id] for id in ORDER):
        found.append(Part(id, title, [each for each in rest if each.group in groups]))
    placed = {each.id for part in found for each in part.kinds}
    others = [each for each in rest if each.id not in placed]
    return [part for part in (*found, Part("others", "Other figures", others)) if part.kinds]


def plainly(kind: Kind) -> str:
    """What a main figure tells a beginner: the question that it answers, and how in half a sentence."""
    asked = question(kind)
    how = re.split(r"[.;:] ", kind.words)[0].removesuffix(".")
    return f"{how}." if asked == kind.title else f"{asked} {how}."


def facts(renderer: Renderer, bike: Bike) -> dict[str, str]:
    """What the sheet states that matters side by side, in a few words; what is not known says so."""
    sensor = {"switchable": "cadence or torque, switchable", None: NOT_KNOWN}
    return {
        "Motor": f"{bike.motor.place}, {bike.motor.drive}",
        "Sensor": sensor.get(bike.assist.sensor, str(bike.assist.sensor)),
        "Gears": gears(bike.drivetrain),
        "Frame": bike.frame,
        f"In law, {renderer.settings.region}": category(renderer, bike) or NOT_KNOWN,
        "Status": f"{bike.status}, {bike.year}",
    }


def gears(drivetrain: Drivetrain) -> str:
    """Such as `8-speed hub gear, belt`; without a number where the sheet does not say."""
    each = (drivetrain.chainrings, drivetrain.cogs, drivetrain.hub_ratios)
    count = prod(len(one) for one in each if one)
    speeds = "" if drivetrain.shifting == "single speed" or count < 2 else f"{count}-speed "
    return f"{speeds}{drivetrain.shifting}, {drivetrain.drive}"


def category(renderer: Renderer, bike: Bike) -> str:
    """What the first rule of the publication's own region would call the bike; empty where no rule is known."""
    found = law_page.here(renderer, bike, urls.COMPARE)
    return found[0].short if found else ""


def called(bikes: Iterable[Bike]) -> list[str]:
    """Names without makers, where those can be told apart."""
    bikes = list(bikes)
    short = [bike.name for bike in bikes]
    return short if len(set(short)) == len(short) else [bike.full_name for bike in bikes]
