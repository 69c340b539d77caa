"""The record of a bike: values that its maker states, claims, own rides, and what is missing."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures import show
from generator.figures.table.figures_table import FiguresTable
from generator.figures.units import CONSUMPTION
from generator.pages.frame.dates import format_date
from generator.specs.bike import Bike, MeasuredRide, RangeClaim, Stated


@dataclass(frozen=True)
class StatedValue:
    """One stated value."""

    title: str
    text: str
    basis: str
    source: str
    """Id in the bike's sources; empty when the file names none."""
    figure: str = ""
    """Id of the figure that is this value; empty when none is."""


FIGURES = {
    "Mass": "spec.mass",
    "Permitted total mass": "spec.permitted_mass",
    "Rated power": "spec.rated_power",
    "Peak power": "spec.peak_power",
    "Torque": "spec.torque",
    "Assisted speed": "spec.assisted_speed",
    "Wheelbase": "spec.wheelbase",
    "List price": "spec.price",
}
"""Id of the figure that is equal to a stated value, by the value's title."""


def _list_quantities(bike: Bike) -> Iterator[tuple[str, Stated | None, str]]:
    """Yield title, value, and what suffers when it is missing (empty where it may well not exist)."""
    motor, battery, assist = bike.motor, bike.battery, bike.assist
    yield "Mass", bike.mass, "every figure that moves the bike"
    yield "Permitted total mass", bike.permitted_mass, "what may be carried"
    yield "Rated power", motor.rated_power, "what the law calls it"
    yield "Peak power", motor.peak_power, "hills and starts"
    yield "Power over thirty minutes", motor.thirty_minute_power, ""
    yield "Torque", motor.torque, "hills and starts"
    yield "Assisted speed", motor.assisted_speed, "speed, range and the fit of the gears"
    yield "Current limit", motor.current_limit, "the power that the motor can draw"
    yield "Cadence limit of the motor", motor.cadence_limit, ""
    yield "Battery voltage", battery.voltage, "charging and power"
    yield "Battery charge", battery.charge, "charging time"
    yield "Battery energy", battery.energy, "every range"
    yield "Second battery", battery.second_energy, ""
    yield "Charger current", battery.charger_current, "charging time"
    yield "Time from no help to full help", assist.ramp, "how the start feels"
    yield "Time from stopped pedals to stopped motor", assist.delay, "how far it runs on"
    yield "Walk or start assist", assist.start_assist, ""
    yield "Throttle, up to", assist.throttle.speed if assist.throttle else None, ""
    yield "Rolling circumference", bike.wheels.rollout, ""
    yield "Tyre pressure", bike.tyre_pressure, "rolling resistance"
    yield "Wheelbase", bike.wheelbase, "the grade at which a wheel lifts"


def list_stated_values(bike: Bike) -> list[StatedValue]:
    """Return the quantities of the spec file, as declared."""
    first = bike.sources[0].id if bike.sources else ""
    found = [
        StatedValue(title, value.text, value.basis, value.source or first, FIGURES.get(title, ""))
        for title, value, _ in _list_quantities(bike)
        if value is not None
    ]
    found += [
        StatedValue(f"Load, {place}", value.text, value.basis, value.source or first)
        for place, value in bike.cargo
    ]
    if bike.price:
        tax = _choose_word(bike.price.includes_tax, ", tax included", ", without tax")
        words = Markup("{}{}, seen on {}").format(
            bike.price.text, tax, format_date(bike.price.date)
        )
        found.append(
            StatedValue(
                "List price", words, "claimed", bike.price.source or first, FIGURES["List price"]
            )
        )
    return found


def _mark_assumed(bike: Bike, key: str, word: str) -> str:
    """Return a word of the spec file, marked as assumed where the file does not state it."""
    return f"{word} (assumed)" if key in bike.assumed else word


def list_facts(bike: Bike) -> list[tuple[str, str]]:
    """Return title and text of each part or property that the bike has."""
    drivetrain, assist = bike.drivetrain, bike.assist
    rings = "/".join(map(str, drivetrain.chainrings))
    ends = dict.fromkeys((min(drivetrain.cogs), max(drivetrain.cogs)) if drivetrain.cogs else ())
    cogs = "–".join(map(str, ends))
    gears = max(len(drivetrain.cogs), 1) * max(len(drivetrain.hub_ratios), 1)
    known = drivetrain.cogs or drivetrain.hub_ratios or drivetrain.shifting == "single speed"
    count = f", {gears} {'gear' if gears == 1 else 'gears'}" if known else ""
    rows = [
        ("Frame", f"{bike.frame}, {_mark_assumed(bike, 'position', bike.position)} position"),
        ("Sizes", ", ".join(bike.sizes)),
        ("Motor", f"{bike.motor.place}, {bike.motor.drive} drive"),
        ("Sensor", assist.sensor or ""),
        ("Levels", ", ".join(level.name for level in assist.levels)),
        ("Gears", f"{drivetrain.shifting}{count}"),
        ("Chainring and cogs", f"{rings} to {cogs} teeth" if rings and cogs else ""),
        ("Drive", _mark_assumed(bike, "drivetrain.drive", drivetrain.drive)),
        ("Wheels", bike.wheels.text),
        ("Tread", _mark_assumed(bike, "tyres.tread", bike.tread)),
        (
            "Brakes",
            "; ".join(_format_brake(brake.end, brake.kind, brake.rotor) for brake in bike.brakes),
        ),
        ("Brake levers stop the motor", _choose_word(bike.brake_cutoff, "yes", "no")),
        ("Suspension", ", ".join(bike.suspension)),
        ("Lights", bike.lights or ""),
        ("Battery", _format_battery(bike)),
    ]
    return [(title, text) for title, text in rows if text]


def _format_brake(end: str, kind: str, rotor: Stated | None) -> str:
    return f"{end} {kind}" + (f", {rotor.text}" if rotor else "")


def _format_battery(bike: Bike) -> str:
    removable = _choose_word(bike.battery.removable, "removable", "fixed in the frame")
    return ", ".join(part for part in (bike.battery.chemistry or "", removable) if part)


def _choose_word(known: bool | None, yes: str, no: str) -> str:
    """Return one of two words; empty when it is not known."""
    return "" if known is None else yes if known else no


def list_claims(bike: Bike) -> list[tuple[str, str]]:
    """Return title and text of each of the maker's claims, in the maker's own figures."""
    rows = []
    if bike.claims.range:
        rows.append(("Range", _format_range_claim(bike.claims.range)))
    if bike.claims.hill:
        rows.append(("Steepest hill", bike.claims.hill.text))
    return rows + [("Also claimed", words) for words in bike.claims.other]


def _format_range_claim(claim: RangeClaim) -> str:
    ends = [end.text for end in (claim.low, claim.high) if end]
    return " to ".join(ends) + (
        f" ({claim.conditions})" if claim.conditions else " (no conditions given)"
    )


def _has_energy_by_label(bike: Bike) -> bool:
    """Whether the energy follows from volts and amp hours."""
    return bike.battery.voltage is not None and bike.battery.charge is not None


def list_missing(bike: Bike) -> list[str]:
    """Return a sentence for each value that the spec file lacks, with what depends on it."""
    gaps = [
        f"{title}: touches {touches}"
        for title, value, touches in _list_quantities(bike)
        if value is None
        and touches
        and not (title == "Battery energy" and _has_energy_by_label(bike))
    ]
    if bike.price is None:
        gaps.insert(0, "Price: so the bike is left out of comparisons by price")
    if bike.assist.sensor is None:
        gaps.append("Kind of pedal sensor: touches how it feels")
    if not bike.assist.levels:
        gaps.append("Assist levels: touches range and feel")
    if not bike.brakes:
        gaps.append("Brakes: nothing is said here about stopping")
    if not bike.certifications:
        gaps.append("Certification: none is stated, for bike or battery")
    return gaps


def describe_rides(
    table: FiguresTable, bike: Bike, system: show.UnitSystem
) -> list[tuple[MeasuredRide, str]]:
    """Each ride, with what the model says of it; empty where the ride was not metered."""
    checks = table.rides_of(bike.slug)
    scale = CONSUMPTION.us if system == "us" else CONSUMPTION.metric

    def words(value: float) -> str:
        return show.format_quantity(value, scale)

    found = []
    for ride in bike.rides:
        check = next((each for each in checks if each.ride == ride), None)
        if check is None:
            found.append((ride, ""))
            continue
        place = "within" if check.inside else "outside"
        found.append(
            (
                ride,
                f"{words(check.measured)} measured, {words(check.computed)} computed: {place} "
                f"the interval of {words(check.low)} to {words(check.high)}",
            )
        )
    return found


def list_uncomputed(table: FiguresTable, slug: str) -> list[str]:
    """Return a sentence for each lack, with the figures that it prevents."""
    by_lack: dict[tuple[str, ...], list[str]] = {}
    for figure_id, lacking in table.missing_of(slug).items():
        by_lack.setdefault(lacking, []).append(table.kinds[figure_id].title)
    return [_describe_lack(lacking, titles) for lacking, titles in by_lack.items()]


def _describe_lack(lacking: Sequence[str], titles: Sequence[str]) -> str:
    names = "; ".join(titles[:MOST_NAMED])
    more = len(titles) - MOST_NAMED
    ending = f"; and {more} more" if more > 0 else ""
    return f"{names}{ending}. Lacking: {', '.join(lacking)}"


MOST_NAMED = 4
"""Most figures named for one lack."""


def describe_status(bike: Bike) -> str:
    """Return the notice at the top of the page for a bike that is not on sale; else empty."""
    return {
        "announced": "Announced, not on sale yet: all values are promises and may change.",
        "withdrawn": "Withdrawn: no longer sold new. Kept here for owners and for second-hand buyers.",
    }.get(bike.status, "")


def describe_experience(bike: Bike) -> str:
    """Say how we know the bike, in one sentence."""
    known = bike.ridden
    if known.state == "sheet only":
        return "We have not ridden it: every figure is worked out from what is stated on paper."
    parts = ["We have ridden it" if known.state == "ridden" else "We have ridden a borrowed one"]
    if known.distance:
        parts.append(f"for {known.distance.text}")
    if known.by:
        parts.append(f"(our {known.by})")
    if known.date:
        parts.append(Markup("up to {}").format(format_date(known.date)))
    return Markup(" ").join(parts) + "."


def describe_version(bike: Bike) -> str:
    """Say which version the figures are for; empty when the maker has changed nothing."""
    if not bike.revisions:
        return ""
    newest = max(revision.date for revision in bike.revisions)
    return Markup("The figures here are for the version since {}.").format(format_date(newest))
