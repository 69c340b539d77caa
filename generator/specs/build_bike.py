"""A checked spec file → a Bike in SI units.

* build_bike     everything; the schema and the cross-checks have passed before
"""

import re
from typing import Any

from generator.specs.bike import (
    Assist,
    Battery,
    Bike,
    Brake,
    Drivetrain,
    Level,
    Motor,
    Price,
    Stated,
    Throttle,
    Wheels,
)
from generator.specs.build_records import (
    certifications,
    claims,
    corrections,
    revisions,
    ridden,
    rides,
    tests,
)
from generator.specs.stated import Sheet, day, text

USUAL = (("position",), ("tyres", "tread"), ("drivetrain", "drive"))
"""Words with a usual value that a spec may leave out."""

SIZE = re.compile(r"([0-9]{2,3}) ?[-–] ?([0-9]{3})")


def build_bike(sheet: Sheet, slug: str, file: str) -> Bike:
    """The Bike of a spec file named `slug`."""
    one = sheet.one
    return Bike(
        slug=slug,
        file=file,
        name=text(one("name")),
        maker=text(one("maker")),
        year=int(one("year")),
        status=one("status"),
        summary=text(one("summary", default="")),
        uses=sheet.many("uses"),
        frame=one("frame"),
        sizes=sheet.many("sizes"),
        position=one("position", default="upright"),
        price=_price(sheet),
        mass=sheet.stated("mass", "mass"),
        permitted_mass=sheet.stated("mass", "permitted_mass"),
        wheelbase=sheet.stated("length", "wheelbase"),
        motor=_motor(sheet),
        battery=_battery(sheet),
        assist=_assist(sheet),
        drivetrain=_drivetrain(sheet),
        wheels=_wheels(sheet),
        tread=one("tyres", "tread", default="city"),
        tyre_pressure=sheet.stated("pressure", "tyres", "pressure"),
        brakes=_brakes(sheet),
        brake_cutoff=one("brakes", "cut_motor"),
        suspension=sheet.many("suspension"),
        lights=one("lights"),
        cargo=_cargo(sheet),
        certifications=certifications(sheet),
        claims=claims(sheet),
        tests=tests(sheet),
        rides=rides(sheet),
        revisions=revisions(sheet),
        corrections=corrections(sheet),
        ridden=ridden(sheet),
        sources=tuple(sheet.sources.values()),
        note=text(one("note", default="")),
        assumed=tuple(".".join(keys) for keys in USUAL if one(*keys) is None),
        digest=sheet.marked.digest,
    )


def wheel_size(words: str) -> tuple[float, float]:
    """Width and bead seat diameter of an ETRTO size such as `47-622`. [m]

    Source: ISO 5775-1, designation of tyres by nominal section width and bead seat diameter in mm.
    Raises ValueError for other words.
    """
    match = SIZE.fullmatch(words.strip())
    if match is None:
        raise ValueError(words)
    return int(match[1]) / 1000, int(match[2]) / 1000


def _price(sheet: Sheet) -> Price | None:
    words = sheet.one("price", "list")
    if words is None:
        return None
    amount, currency = words.split(" ")
    on = day(sheet.one("price", "date"))
    assert on is not None, "the schema wants a date"
    tax = sheet.one("price", "includes_tax")
    return Price(float(amount), currency, words, on, tax, sheet.source("price", "list").id)


def _motor(sheet: Sheet) -> Motor:
    def stated(dimension: str, key: str) -> Stated | None:
        return sheet.stated(dimension, "motor", key)

    return Motor(
        place=sheet.one("motor", "place"),
        drive=sheet.one("motor", "drive"),
        rated_power=stated("power", "rated_power"),
        peak_power=stated("power", "peak_power"),
        thirty_minute_power=stated("power", "thirty_minute_power"),
        torque=stated("torque", "torque"),
        assisted_speed=stated("speed", "assisted_speed"),
        current_limit=stated("current", "current_limit"),
        cadence_limit=stated("cadence", "cadence_limit"),
    )


def _battery(sheet: Sheet) -> Battery:
    def stated(dimension: str, key: str) -> Stated | None:
        return sheet.stated(dimension, "battery", key)

    return Battery(
        voltage=stated("voltage", "voltage"),
        charge=stated("charge", "charge"),
        energy=stated("energy", "energy"),
        chemistry=sheet.one("battery", "chemistry"),
        charger_current=stated("current", "charger_current"),
        removable=sheet.one("battery", "removable"),
        second_energy=stated("energy", "second_energy"),
    )


def _assist(sheet: Sheet) -> Assist:
    speed = sheet.stated("speed", "assist", "throttle", "speed")
    power = sheet.stated("ratio", "assist", "throttle", "power")
    throttle = None if speed is None else Throttle(speed, power)
    return Assist(
        sensor=sheet.one("assist", "sensor"),
        levels=tuple(_level(sheet, at) for at in range(len(sheet.many("assist", "levels")))),
        pulses=_whole(sheet.one("assist", "pulses")),
        start_pulses=_whole(sheet.one("assist", "start_pulses")),
        ramp=sheet.stated("time", "assist", "ramp"),
        delay=sheet.stated("time", "assist", "delay"),
        throttle=throttle,
        start_assist=sheet.stated("speed", "assist", "start_assist"),
    )


def _level(sheet: Sheet, at: int) -> Level:
    path = ("assist", "levels", at)
    return Level(
        name=text(sheet.one(*path, "name")),
        speed=sheet.stated("speed", *path, "speed"),
        current=sheet.stated("current", *path, "current"),
        power=sheet.stated("ratio", *path, "power"),
        ratio=sheet.stated("ratio", *path, "ratio"),
    )


def _drivetrain(sheet: Sheet) -> Drivetrain:
    return Drivetrain(
        shifting=sheet.one("drivetrain", "shifting"),
        drive=sheet.one("drivetrain", "drive", default="chain"),
        chainrings=tuple(map(int, sheet.many("drivetrain", "chainrings"))),
        cogs=tuple(map(int, sheet.many("drivetrain", "cogs"))),
        hub_ratios=tuple(map(float, sheet.many("drivetrain", "hub_ratios"))),
    )


def _wheels(sheet: Sheet) -> Wheels:
    size, front = sheet.one("wheels", "size"), sheet.one("wheels", "front")
    width, bead = wheel_size(size) if size else (None, None)
    return Wheels(
        etrto_width=width,
        etrto_bead=bead,
        rollout=sheet.stated("length", "wheels", "rollout"),
        front_etrto=wheel_size(front) if front else None,
        text=size or "",
    )


def _brakes(sheet: Sheet) -> tuple[Brake, ...]:
    front, rear = sheet.one("brakes", "front", "kind"), sheet.one("brakes", "rear", "kind")
    found = []
    if front:
        found.append(Brake("front", front, sheet.stated("length", "brakes", "front", "rotor")))
    if rear:
        found.append(Brake("rear", rear, sheet.stated("length", "brakes", "rear", "rotor")))
    return tuple(found)


def _cargo(sheet: Sheet) -> tuple[tuple[str, Stated], ...]:
    found = (
        (place, sheet.stated("mass", "cargo", place)) for place in sheet.one("cargo", default={})
    )
    return tuple((place, load) for place, load in found if load is not None)


def _whole(value: Any) -> int | None:
    return None if value is None else int(value)
