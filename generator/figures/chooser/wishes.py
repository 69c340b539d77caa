"""The chooser's wishes as data: the measure of each, its line from 0 to 1, its weight, and its sentences."""

from dataclasses import dataclass

from generator.figures import units
from generator.figures.chooser.rule import LIFT_LIMIT, LIGHT_LIFT
from generator.figures.model import Unit
from generator.specs.units import kmh


@dataclass(frozen=True)
class Wish:
    """One quality of a bike, rated from 0 to 1 by straight lines through knots."""

    id: str
    title: str
    measure: str
    """The quantity that the knots are given in, in words for the printed rule."""
    figure: str
    """Id of the figure that a reason links to; `{route}` stands for the reader's route."""
    unit: Unit
    knots: tuple[tuple[float, float], ...]
    """Pairs of measure (SI) and fit, rising in the measure; flat beyond the ends."""
    weight: int
    """Weight unless the reader changes it, 0 to 4."""
    when: str
    """When the wish counts, in words."""
    good: str
    middling: str
    poor: str


WISHES = (
    Wish(
        "reach",
        "Goes far enough",
        "trips on one charge: range with your legs, load and roads over the length of a trip",
        "range.{route}",
        units.DISTANCE,
        ((1.0, 0.0), (2.0, 0.5), (4.0, 1.0)),  # charge every day, every second, every fourth
        3,
        "always",
        "Meets your distance: {value} on one charge on roads like {where}, with {load} to carry: "
        "room for {trips} of your trips of {trip}.",
        "Fits your distance: {value} on one charge on roads like {where}, with {load} to carry: "
        "room for {trips} of your trips of {trip}.",
        "Falls short of a second trip: {value} on one charge on roads like {where}, with {load} to carry, "
        "and your trip is {trip}.",
    ),
    Wish(
        "climb",
        "Gets up your hills",
        "steepest climb held with your legs and load, over the steepest 100 m of your road",
        "hills.steepest",
        units.GRADE,
        ((0.7, 0.0), (1.0, 0.5), (1.5, 1.0)),
        3,
        "when the steepest 100 m of your road rise at 4 % or more",
        "Meets your hills: it holds a climb of {value}, and the steepest 100 m of {where} rise at {need}.",
        "Fits your hills, just: it holds a climb of {value}, and the steepest 100 m of {where} rise at {need}.",
        "Falls short on your hills: it holds a climb of {value}, and the steepest 100 m of {where} rise at {need}.",
    ),
    Wish(
        "uphill",
        "Climbs briskly",
        "speed on a climb of 10 % with the default rider",
        "hills.speed_10",
        units.SPEED,
        ((kmh(6), 0.0), (kmh(15), 1.0)),  # a brisk walk, an easy ride
        1,
        "when the steepest 100 m of your road rise at 8 % or more",
        "Meets the wish to climb briskly: {value} up a 10 % hill.",
        "Climbs at a middling pace: {value} up a 10 % hill.",
        "Falls short on pace uphill: {value} up a 10 % hill, little more than walking.",
    ),
    Wish(
        "ease",
        "Leaves you little work",
        "the rider's share of the work on the publication's own road",
        "assist.share",
        units.SHARE,
        ((0.25, 1.0), (0.65, 0.0)),
        2,
        "when you want to work as little as possible",
        "Meets the wish for little work: the legs do {value} of it, the motor the rest.",
        "Leaves you a fair part of the work: {value}.",
        "Falls short on help: the legs do {value} of the work.",
    ),
    Wish(
        "gears",
        "Lets strong legs work",
        "the speed at which the legs give up over the speed at which help ends",
        "gears.spin_out_margin",
        units.RATIO,
        ((0.85, 0.0), (1.0, 0.5), (1.3, 1.0)),  # at 1 both end together
        2,
        "when you like to work",
        "Meets the wish to work: the legs keep up to {value} times the speed at which help ends.",
        "The legs give up near the speed at which help ends: at {value} times that speed.",
        "Falls short for strong legs: they give up before help ends, at {value} times that speed.",
    ),
    Wish(
        "follow",
        "Follows your legs",
        "watts that the motor adds for each watt more of the rider",
        "assist.follow_slope",
        units.RATIO,
        ((0.0, 0.0), (1.0, 1.0)),
        3,
        "when help should follow the legs",
        "Meets the feel you want: push harder and the motor adds {value} watts for each of yours.",
        "Follows the legs in part: the motor adds {value} watts for each more of yours.",
        "Falls short of the feel you want: push harder and the motor adds {value} watts for each of yours.",
    ),
    Wish(
        "steady",
        "Pushes the same, however lightly you pedal",
        "watts that the motor adds for each watt more of the rider",
        "assist.follow_slope",
        units.RATIO,
        ((0.0, 1.0), (1.0, 0.0)),
        3,
        "when help should push however lightly you pedal",
        "Meets the feel you want: the push hardly depends on your effort, {value} watts for each watt more of yours.",
        "Depends on your effort in part: {value} watts for each watt more of yours.",
        "Falls short of a steady push: light legs get little, as it adds {value} watts for each of yours.",
    ),
    Wish(
        "start",
        "Helps at once",
        "time from the first push to half the help",
        "assist.take_up_time",
        units.SECONDS,
        ((0.5, 1.0), (1.5, 0.5), (3.5, 0.0)),
        2,
        "when help should come as soon as you start",
        "Meets the wish for help at once: half of it is there after {value}.",
        "Help takes a moment: half of it is there after {value}.",
        "Falls short on help at once: half of it is there only after {value}.",
    ),
    Wish(
        "handy",
        "Is easy to push and park",
        "mass",
        "spec.mass",
        units.MASS,
        ((18.0, 1.0), (35.0, 0.0)),
        1,
        "when it need not be carried up stairs",
        "Easy to push and park: {value}.",
        "Of middling weight to push and park: {value}.",
        "Falls short on light handling: {value}.",
    ),
    Wish(
        "lift",
        "Can be carried",
        "mass",
        "spec.mass",
        units.MASS,
        ((LIGHT_LIFT, 1.0), (LIFT_LIMIT, 0.0)),
        3,
        "when it must be carried up stairs",
        "Meets the wish for stairs: {value} is light for such a bike.",
        "Can be carried with some effort: {value}.",
        "Falls short on stairs: {value} is heavy to carry.",
    ),
    Wish(
        "cost",
        "Leaves money over",
        "price over budget",
        "spec.price",
        units.RATIO,  # the money of the site is filled in where it is shown
        ((0.4, 1.0), (1.0, 0.0)),
        1,
        "when you name a budget",
        "Leaves money over: {value} of your {budget}.",
        "Leaves a little money over: {value} of your {budget}.",
        "Takes nearly all of your money: {value} of {budget}.",
    ),
)
