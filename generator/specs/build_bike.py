"""From a checked spec file to a Bike in SI units.

* build_bike          builds the Bike of a file that has passed the schema and the cross-checks
* parse_wheel_size    reads an ETRTO size
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
    build_certifications,
    build_claims,
    build_corrections,
    build_revisions,
    build_ridden,
    build_rides,
    build_tests,
)
from generator.specs.stated import CheckedSpec, read_date, tidy_text

USUAL = (("position",), ("tyres", "tread"), ("drivetrain", "drive"))
"""Keys with a usual value that a spec file may leave out."""

SIZE = re.compile(r"([0-9]{2,3}) ?[-–] ?([0-9]{3})")


def build_bike(spec: CheckedSpec, slug: str, file: str) -> Bike:
    """Build the Bike of the spec file `file`, whose name without its ending is `slug`."""
    get = spec.get
    return Bike(
        slug=slug,
        file=file,
        name=tidy_text(get("name")),
        maker=tidy_text(get("maker")),
        year=int(get("year")),
        status=get("status"),
        summary=tidy_text(get("summary", default="")),
        uses=spec.get_list("uses"),
        frame=get("frame"),
        sizes=spec.get_list("sizes"),
        position=get("position", default="upright"),
        price=_build_price(spec),
        mass=spec.get_stated("mass", "mass"),
        permitted_mass=spec.get_stated("mass", "permitted_mass"),
        wheelbase=spec.get_stated("length", "wheelbase"),
        motor=_build_motor(spec),
        battery=_build_battery(spec),
        assist=_build_assist(spec),
        drivetrain=_build_drivetrain(spec),
        wheels=_build_wheels(spec),
        tread=get("tyres", "tread", default="city"),
        tyre_pressure=spec.get_stated("pressure", "tyres", "pressure"),
        brakes=_build_brakes(spec),
        brake_cutoff=get("brakes", "cut_motor"),
        suspension=spec.get_list("suspension"),
        lights=get("lights"),
        cargo=_build_cargo(spec),
        certifications=build_certifications(spec),
        claims=build_claims(spec),
        tests=build_tests(spec),
        rides=build_rides(spec),
        revisions=build_revisions(spec),
        corrections=build_corrections(spec),
        ridden=build_ridden(spec),
        sources=tuple(spec.sources.values()),
        note=tidy_text(get("note", default="")),
        assumed=tuple(".".join(keys) for keys in USUAL if get(*keys) is None),
        digest=spec.mapping.digest,
    )


def parse_wheel_size(words: str) -> tuple[float, float]:
    """Width and bead seat diameter of an ETRTO size such as `47-622`. [m]

    Source: ISO 5775-1, designation of tyres by nominal section width and bead seat diameter in mm.
    Raises ValueError for other words.
    """
    match = SIZE.fullmatch(words.strip())
    if match is None:
        raise ValueError(words)
    return int(match[1]) / 1000, int(match[2]) / 1000


def _build_price(spec: CheckedSpec) -> Price | None:
    words = spec.get("price", "list")
    if words is None:
        return None
    amount, currency = words.split(" ")
    on = read_date(spec.get("price", "date"))
    assert on is not None, "the schema wants a date"
    tax = spec.get("price", "includes_tax")
    return Price(float(amount), currency, words, on, tax, spec.find_source("price", "list").id)


def _build_motor(spec: CheckedSpec) -> Motor:
    def stated(dimension: str, key: str) -> Stated | None:
        return spec.get_stated(dimension, "motor", key)

    return Motor(
        place=spec.get("motor", "place"),
        drive=spec.get("motor", "drive"),
        rated_power=stated("power", "rated_power"),
        peak_power=stated("power", "peak_power"),
        thirty_minute_power=stated("power", "thirty_minute_power"),
        torque=stated("torque", "torque"),
        assisted_speed=stated("speed", "assisted_speed"),
        current_limit=stated("current", "current_limit"),
        cadence_limit=stated("cadence", "cadence_limit"),
    )


def _build_battery(spec: CheckedSpec) -> Battery:
    def stated(dimension: str, key: str) -> Stated | None:
        return spec.get_stated(dimension, "battery", key)

    return Battery(
        voltage=stated("voltage", "voltage"),
        charge=stated("charge", "charge"),
        energy=stated("energy", "energy"),
        chemistry=spec.get("battery", "chemistry"),
        charger_current=stated("current", "charger_current"),
        removable=spec.get("battery", "removable"),
        second_energy=stated("energy", "second_energy"),
    )


def _build_assist(spec: CheckedSpec) -> Assist:
    speed = spec.get_stated("speed", "assist", "throttle", "speed")
    power = spec.get_stated("ratio", "assist", "throttle", "power")
    throttle = None if speed is None else Throttle(speed, power)
    return Assist(
        sensor=spec.get("assist", "sensor"),
        levels=tuple(
            _build_level(spec, at) for at in range(len(spec.get_list("assist", "levels")))
        ),
        pulses=_to_int(spec.get("assist", "pulses")),
        start_pulses=_to_int(spec.get("assist", "start_pulses")),
        ramp=spec.get_stated("time", "assist", "ramp"),
        delay=spec.get_stated("time", "assist", "delay"),
        throttle=throttle,
        start_assist=spec.get_stated("speed", "assist", "start_assist"),
    )


def _build_level(spec: CheckedSpec, at: int) -> Level:
    path = ("assist", "levels", at)
    return Level(
        name=tidy_text(spec.get(*path, "name")),
        speed=spec.get_stated("speed", *path, "speed"),
        current=spec.get_stated("current", *path, "current"),
        power=spec.get_stated("ratio", *path, "power"),
        ratio=spec.get_stated("ratio", *path, "ratio"),
    )


def _build_drivetrain(spec: CheckedSpec) -> Drivetrain:
    return Drivetrain(
        shifting=spec.get("drivetrain", "shifting"),
        drive=spec.get("drivetrain", "drive", default="chain"),
        chainrings=tuple(map(int, spec.get_list("drivetrain", "chainrings"))),
        cogs=tuple(map(int, spec.get_list("drivetrain", "cogs"))),
        hub_ratios=tuple(map(float, spec.get_list("drivetrain", "hub_ratios"))),
    )


def _build_wheels(spec: CheckedSpec) -> Wheels:
    size, front = spec.get("wheels", "size"), spec.get("wheels", "front")
    width, bead = parse_wheel_size(size) if size else (None, None)
    return Wheels(
        etrto_width=width,
        etrto_bead=bead,
        rollout=spec.get_stated("length", "wheels", "rollout"),
        front_etrto=parse_wheel_size(front) if front else None,
        text=size or "",
    )


def _build_brakes(spec: CheckedSpec) -> tuple[Brake, ...]:
    front, rear = spec.get("brakes", "front", "kind"), spec.get("brakes", "rear", "kind")
    found = []
    if front:
        found.append(Brake("front", front, spec.get_stated("length", "brakes", "front", "rotor")))
    if rear:
        found.append(Brake("rear", rear, spec.get_stated("length", "brakes", "rear", "rotor")))
    return tuple(found)


def _build_cargo(spec: CheckedSpec) -> tuple[tuple[str, Stated], ...]:
    found = (
        (place, spec.get_stated("mass", "cargo", place)) for place in spec.get("cargo", default={})
    )
    return tuple((place, load) for place, load in found if load is not None)


def _to_int(value: Any) -> int | None:
    return None if value is None else int(value)
