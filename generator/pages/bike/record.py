"""What is on record about a bike: what its maker states, what we measured, what is missing."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures import show
from generator.figures.table.figures_table import FiguresTable
from generator.figures.units import CONSUMPTION
from generator.pages.frame.renderer import dated
from generator.specs.bike import Bike, MeasuredRide, RangeClaim, Stated


@dataclass(frozen=True)
class Entry:
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
"""Stated value to the figure that is taken from it as it stands."""


def _quantities(bike: Bike) -> Iterator[tuple[str, Stated | None, str]]:
    """Title, value, and what suffers when it is missing (empty: it may well not exist)."""
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


def stated(bike: Bike) -> list[Entry]:
    """Quantities of the spec file, as declared."""
    first = bike.sources[0].id if bike.sources else ""
    found = [
        Entry(title, value.text, value.basis, value.source or first, FIGURES.get(title, ""))
        for title, value, _ in _quantities(bike)
        if value is not None
    ]
    found += [
        Entry(f"Load, {place}", value.text, value.basis, value.source or first)
        for place, value in bike.cargo
    ]
    if bike.price:
        tax = _either(bike.price.includes_tax, ", tax included", ", without tax")
        words = Markup("{}{}, seen on {}").format(bike.price.text, tax, dated(bike.price.date))
        found.append(
            Entry("List price", words, "claimed", bike.price.source or first, FIGURES["List price"])
        )
    return found


def _said(bike: Bike, key: str, word: str) -> str:
    """A word of the sheet, or the usual one where the sheet says nothing."""
    return f"{word} (assumed)" if key in bike.assumed else word


def plain_facts(bike: Bike) -> list[tuple[str, str]]:
    """What the bike has, in words."""
    drivetrain, assist = bike.drivetrain, bike.assist
    rings = "/".join(map(str, drivetrain.chainrings))
    ends = dict.fromkeys((min(drivetrain.cogs), max(drivetrain.cogs)) if drivetrain.cogs else ())
    cogs = "–".join(map(str, ends))
    gears = max(len(drivetrain.cogs), 1) * max(len(drivetrain.hub_ratios), 1)
    known = drivetrain.cogs or drivetrain.hub_ratios or drivetrain.shifting == "single speed"
    count = f", {gears} {'gear' if gears == 1 else 'gears'}" if known else ""
    rows = [
        ("Frame", f"{bike.frame}, {_said(bike, 'position', bike.position)} position"),
        ("Sizes", ", ".join(bike.sizes)),
        ("Motor", f"{bike.motor.place}, {bike.motor.drive} drive"),
        ("Sensor", assist.sensor or ""),
        ("Levels", ", ".join(level.name for level in assist.levels)),
        ("Gears", f"{drivetrain.shifting}{count}"),
        ("Chainring and cogs", f"{rings} to {cogs} teeth" if rings and cogs else ""),
        ("Drive", _said(bike, "drivetrain.drive", drivetrain.drive)),
        ("Wheels", bike.wheels.text),
        ("Tread", _said(bike, "tyres.tread", bike.tread)),
        ("Brakes", "; ".join(_brake(brake.end, brake.kind, brake.rotor) for brake in bike.brakes)),
        ("Brake levers stop the motor", _either(bike.brake_cutoff, "yes", "no")),
        ("Suspension", ", ".join(bike.suspension)),
        ("Lights", bike.lights or ""),
        ("Battery", _battery(bike)),
    ]
    return [(title, text) for title, text in rows if text]


def _brake(end: str, kind: str, rotor: Stated | None) -> str:
    return f"{end} {kind}" + (f", {rotor.text}" if rotor else "")


def _battery(bike: Bike) -> str:
    removable = _either(bike.battery.removable, "removable", "fixed in the frame")
    return ", ".join(part for part in (bike.battery.chemistry or "", removable) if part)


def _either(known: bool | None, yes: str, no: str) -> str:
    """One of two words; empty when nobody says."""
    return "" if known is None else yes if known else no


def claims(bike: Bike) -> list[tuple[str, str]]:
    """What the maker promises, in the maker's own figures."""
    rows = []
    if bike.claims.range:
        rows.append(("Range", _range_claim(bike.claims.range)))
    if bike.claims.hill:
        rows.append(("Steepest hill", bike.claims.hill.text))
    return rows + [("Also claimed", words) for words in bike.claims.other]


def _range_claim(claim: RangeClaim) -> str:
    ends = [end.text for end in (claim.low, claim.high) if end]
    return " to ".join(ends) + (
        f" ({claim.conditions})" if claim.conditions else " (no conditions given)"
    )


def _by_label(bike: Bike) -> bool:
    """Does the energy follow from volts and amp hours?"""
    return bike.battery.voltage is not None and bike.battery.charge is not None


def missing(bike: Bike) -> list[str]:
    """What the file does not state, each with what it touches."""
    gaps = [
        f"{title}: touches {touches}"
        for title, value, touches in _quantities(bike)
        if value is None and touches and not (title == "Battery energy" and _by_label(bike))
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


def rides(table: FiguresTable, bike: Bike, system: show.System) -> list[tuple[MeasuredRide, str]]:
    """Each ride, with what the model says of it; empty where the ride was not metered."""
    checks = [check for check in table.rides if check.bike == bike.slug]
    scale = CONSUMPTION.us if system == "us" else CONSUMPTION.metric

    def words(value: float) -> str:
        return show.quantity(value, scale)

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


def unworkable(table: FiguresTable, slug: str) -> list[str]:
    """Which figures could not be worked out, by what they lack."""
    by_lack: dict[tuple[str, ...], list[str]] = {}
    for figure_id, lacking in table.missing.get(slug, {}).items():
        by_lack.setdefault(lacking, []).append(table.kinds[figure_id].title)
    return [_without(lacking, titles) for lacking, titles in by_lack.items()]


def _without(lacking: Sequence[str], titles: Sequence[str]) -> str:
    named = "; ".join(titles[:MOST_NAMED])
    more = len(titles) - MOST_NAMED
    ending = f"; and {more} more" if more > 0 else ""
    return f"{named}{ending}. Lacking: {', '.join(lacking)}"


MOST_NAMED = 4
"""Figures named for each thing that lacks."""


def status(bike: Bike) -> str:
    """Said plainly at the top when the bike cannot simply be bought."""
    return {
        "announced": "Announced, not on sale yet: all values are promises and may change.",
        "withdrawn": "Withdrawn: no longer sold new. Kept here for owners and for second-hand buyers.",
    }.get(bike.status, "")


def ridden(bike: Bike) -> str:
    """How we know the bike, in one sentence."""
    known = bike.ridden
    if known.state == "sheet only":
        return "We have not ridden it: every figure is worked out from what is stated on paper."
    parts = ["We have ridden it" if known.state == "ridden" else "We have ridden a borrowed one"]
    if known.distance:
        parts.append(f"for {known.distance.text}")
    if known.by:
        parts.append(f"(our {known.by})")
    if known.date:
        parts.append(Markup("up to {}").format(dated(known.date)))
    return Markup(" ").join(parts) + "."


def version(bike: Bike) -> str:
    """Which version the figures are for; empty when the maker has changed nothing."""
    if not bike.revisions:
        return ""
    newest = max(revision.date for revision in bike.revisions)
    return Markup("The figures here are for the version since {}.").format(dated(newest))
