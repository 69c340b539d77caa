"""A bike as its spec file states it: frozen dataclasses in SI units.

`read.py` builds them; nothing here computes. A quantity that the spec file leaves out is None.
"""

import datetime
from dataclasses import dataclass, field
from typing import Literal

CARGO_FRAMES = ("long-tail", "front box")
"""Frames built to carry loads."""

Basis = Literal["claimed", "measured", "assumed", "computed"]

MotorPlace = Literal["rear hub", "front hub", "mid"]
MotorDrive = Literal["geared", "direct"]
Sensor = Literal["cadence", "torque", "switchable"]
Shifting = Literal["derailleur", "hub gear", "single speed"]
Frame = Literal["diamond", "step-through", "folding", "long-tail", "front box", "mountain"]
Position = Literal["upright", "touring", "crouched"]
Tread = Literal["slick", "city", "knobbly"]
"""Kinds that figures depend on: what handles them matches each and ends in `assert_never`, so that mypy names every
place where a new kind is lacking, and the computing stops there."""


@dataclass(frozen=True)
class Source:
    """A source of stated values."""

    id: str
    title: str
    kind: str
    """maker, seller, certificate, own test, publication."""
    url: str | None = None
    seen: datetime.date | None = None
    """Day on which it was read."""


@dataclass(frozen=True)
class Stated:
    """One quantity with its basis and source."""

    value: float
    """SI value."""
    text: str
    """The quantity as the spec file writes it, such as `60 lb`."""
    basis: Basis = "claimed"
    source: str | None = None
    """Id in the bike's `sources`."""
    date: datetime.date | None = None


@dataclass(frozen=True)
class Price:
    amount: float
    currency: str
    """ISO 4217 code."""
    text: str
    date: datetime.date
    includes_tax: bool | None = None
    source: str | None = None


@dataclass(frozen=True)
class Motor:
    place: MotorPlace
    drive: MotorDrive
    rated_power: Stated | None = None
    peak_power: Stated | None = None
    thirty_minute_power: Stated | None = None
    torque: Stated | None = None
    assisted_speed: Stated | None = None
    current_limit: Stated | None = None
    """Battery current that the controller does not exceed. [A]"""
    cadence_limit: Stated | None = None
    """Mid drives: cadence above which assistance fades. [rad/s]"""


@dataclass(frozen=True)
class Battery:
    voltage: Stated | None = None
    charge: Stated | None = None
    """[C]; `14 Ah` is 50400 C."""
    energy: Stated | None = None
    """[J]; `504 Wh` is 1814400 J."""
    chemistry: str | None = None
    charger_current: Stated | None = None
    removable: bool | None = None
    second_energy: Stated | None = None
    """An optional second battery, not counted in the figures. [J]"""


@dataclass(frozen=True)
class Level:
    """One assist level. A limit that it does not set is None."""

    name: str
    speed: Stated | None = None
    current: Stated | None = None
    power: Stated | None = None
    """Share of full power, 0 to 1."""
    ratio: Stated | None = None
    """Motor power over rider power."""


@dataclass(frozen=True)
class Throttle:
    speed: Stated
    """Highest speed by the motor alone. [m/s]"""
    power: Stated | None = None


@dataclass(frozen=True)
class Assist:
    sensor: Sensor | None = None
    levels: tuple[Level, ...] = ()
    pulses: int | None = None
    """Sensor pulses per crank turn."""
    start_pulses: int | None = None
    """Pulses before assistance begins."""
    ramp: Stated | None = None
    """Time from no assistance to full assistance. [s]"""
    delay: Stated | None = None
    """Time from the last pulse to motor off. [s]"""
    throttle: Throttle | None = None
    start_assist: Stated | None = None
    """Speed of the walk or start assist. [m/s]"""


@dataclass(frozen=True)
class Drivetrain:
    shifting: Shifting
    drive: Literal["chain", "belt"] = "chain"
    chainrings: tuple[int, ...] = ()
    cogs: tuple[int, ...] = ()
    hub_ratios: tuple[float, ...] = ()


@dataclass(frozen=True)
class Wheels:
    """Size of the driven (rear) wheel; `front_*` only when the front wheel differs."""

    etrto_width: float | None = None
    """Nominal section width. [m]"""
    etrto_bead: float | None = None
    """Bead seat diameter. [m]"""
    rollout: Stated | None = None
    """Measured circumference under the rider. [m]"""
    front_etrto: tuple[float, float] | None = None
    """Nominal section width and bead seat diameter. [m]"""
    text: str = ""
    """ETRTO size as the spec file writes it, such as `47-622`."""


@dataclass(frozen=True)
class Brake:
    end: Literal["front", "rear"]
    kind: str
    rotor: Stated | None = None


@dataclass(frozen=True)
class Certification:
    standard: str
    scope: str
    """bike, battery, charger, cell."""
    basis: Literal["claimed", "certificate seen"]
    edition: str | None = None
    body: str | None = None
    number: str | None = None
    seen: datetime.date | None = None


@dataclass(frozen=True)
class RangeClaim:
    """The range that the maker claims, with the maker's conditions."""

    low: Stated | None
    high: Stated | None
    conditions: str | None = None


@dataclass(frozen=True)
class Claims:
    range: RangeClaim | None = None
    hill: Stated | None = None
    """Steepest grade claimed, rise over run."""
    other: tuple[str, ...] = ()


@dataclass(frozen=True)
class MeasuredRide:
    """A range ride by the reviewers."""

    route: str
    rider: str
    level: str
    distance: Stated
    energy: Stated | None
    """Battery energy used. [J]"""
    charge_share: Stated | None
    """Battery share used, 0 to 1, when energy was not metered."""
    date: datetime.date
    temperature: Stated | None = None
    wind: Stated | None = None
    average_speed: Stated | None = None
    note: str = ""


@dataclass(frozen=True)
class OwnTest:
    """One measurement by the reviewers, other than a range ride."""

    what: str
    """mass, rollout, top assisted speed, braking distance, hill time, take-up angle."""
    value: Stated
    date: datetime.date
    method: str
    conditions: str


@dataclass(frozen=True)
class Correction:
    """A record of a stated value that was corrected, and why."""

    key: str
    was: str
    now: str
    reason: str
    date: datetime.date


@dataclass(frozen=True)
class Revision:
    """A change by the maker, from a date on. Figures are for the newest revision."""

    date: datetime.date
    what: str
    kind: str
    """firmware, battery, gearing, other."""
    was: tuple[tuple[str, str], ...] = ()
    """Dotted key and the value's text before the change."""


@dataclass(frozen=True)
class Ridden:
    """How the reviewers know the bike."""

    state: Literal["ridden", "borrowed", "sheet only"] = "sheet only"
    relation: Literal["none", "gifted", "loaned", "paid"] | None = None
    """Terms on which the reviewers had the bike; None when they know only its spec sheet."""
    distance: Stated | None = None
    by: str | None = None
    """Role of the person who rode it, never a name."""
    route: str | None = None
    date: datetime.date | None = None


@dataclass(frozen=True)
class Bike:
    """One bike. `slug` is the file's name without its ending."""

    slug: str
    file: str
    name: str
    maker: str
    year: int
    status: Literal["on sale", "announced", "withdrawn"]
    uses: tuple[str, ...]
    frame: Frame
    motor: Motor
    battery: Battery
    assist: Assist
    drivetrain: Drivetrain
    wheels: Wheels
    position: Position = "upright"
    summary: str = ""
    sizes: tuple[str, ...] = ()
    price: Price | None = None
    mass: Stated | None = None
    permitted_mass: Stated | None = None
    """Bike, rider and load together. [kg]"""
    wheelbase: Stated | None = None
    tread: Tread = "city"
    tyre_pressure: Stated | None = None
    brakes: tuple[Brake, ...] = ()
    brake_cutoff: bool | None = None
    """Do the brake levers cut the motor?"""
    suspension: tuple[str, ...] = ()
    lights: str | None = None
    cargo: tuple[tuple[str, Stated], ...] = ()
    """Place and permitted load. [kg]"""
    certifications: tuple[Certification, ...] = ()
    claims: Claims = field(default_factory=Claims)
    tests: tuple[OwnTest, ...] = ()
    rides: tuple[MeasuredRide, ...] = ()
    revisions: tuple[Revision, ...] = ()
    corrections: tuple[Correction, ...] = ()
    ridden: Ridden = field(default_factory=Ridden)
    sources: tuple[Source, ...] = ()
    note: str = ""
    assumed: tuple[str, ...] = ()
    """Dotted keys that the spec file leaves out, so that the usual value is used."""
    digest: str = ""
    """Content hash of the spec file."""

    @property
    def full_name(self) -> str:
        """Maker and name."""
        return f"{self.maker} {self.name}"
