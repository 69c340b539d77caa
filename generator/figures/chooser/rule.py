"""The chooser's rule as data: answers on offer, must-haves, limits and sentences. `wishes.py` holds the wishes.

Nothing here computes. Python and the browser rank by these tables and nothing else: no payment, no link, no relation to
a maker or a seller.

The source of a limit stands beside it; most are our choice, and the page prints them all.
"""

from dataclasses import dataclass

from generator.figures import units
from generator.figures.model import Scale, Unit

ROUND_DISTANCE = Unit("m", Scale("km", 1e-3, 0), Scale("mi", 1 / units.MILE, 0))
ROUND_MASS = Unit("kg", Scale("kg", 1.0, 0), Scale("lb", 1 / units.POUND, 0))
"""Units of a reader's own distances and loads, shown in whole numbers."""

CLOSE_SCORE = 30
"""Neighbours in the ranking whose scores differ by less are called close: no clear order. Scores run to 1000. Our
choice: less than one step of one weight moves."""

SHORTLIST = 5
"""Number of bikes shown with their reasons."""

GOOD, MIDDLING = 2 / 3, 1 / 3
"""Least fit of a wish that is met, and of one that is half met."""

WEIGHTS = ("ignore it", "a little", "somewhat", "much", "very much")
"""Words for the weights 0 to 4."""

TRIPS = (5, 10, 20, 40, 60)
"""Lengths of a trip there and back to choose from. [km]"""

TRIP = 10
"""Length of a trip unless the reader chooses another. [km]"""

STEEP = 0.04
"""Grade of a route's steepest 100 m from which climbing counts as a wish. [-]  Our choice."""

VERY_STEEP = 0.08
"""Grade of a route's steepest 100 m from which pace uphill counts as a wish. [-]  Our choice."""

STRETCH = 100.0
"""Length over which a route's steepest grade is taken. [m]"""

LIFT_LIMIT = 25.0
"""Mass beyond which a bike is left out when it must be carried every day. [kg]  The guideline weight for men lifting
close to the body at knuckle height in the British HSE's INDG143; for women it is 16 kg. Values from memory."""

LIGHT_LIFT = 16.0
"""Mass that is easy to carry, the guideline weight for women of the same leaflet. [kg]"""


@dataclass(frozen=True)
class LoadChoice:
    id: str
    words: str
    change: str
    mass: float | None
    """[kg]; None: the usual load of the publication's default rider."""
    whole: bool = False
    """Whether it must all go in one place."""


LOADS = (
    LoadChoice("light", "A light bag", "with a light bag only", None),
    LoadChoice("shopping", "Shopping", "with shopping to carry", 15.0),
    LoadChoice("child", "A child", "with a child aboard", 25.0, whole=True),
    LoadChoice("heavy", "Heavy things or two children", "with heavy things to carry", 60.0),
)
"""Masses: common practice, no source."""

RACK_LOAD = 15.0
"""Load from which the bike needs a rated place for it. [kg]  A lighter one goes on the rider's back."""

STAIRS = (
    ("no", "No", "without the stairs"),
    ("some", "Now and then", "with stairs now and then"),
    ("daily", "Every day", "with stairs every day"),
)
FEEL = (
    ("any", "I do not mind", "without a wish how it feels"),
    ("push", "A push, however lightly I pedal", "with a push, however lightly you pedal"),
    ("quick", "Help as soon as I start", "with help as soon as you start"),
    ("follow", "Help that follows my legs", "with help that follows the legs"),
)

LAW = (
    ("eu", "eu", ("EPAC, outside type approval",)),
    ("uk", "uk", ("EAPC",)),
    ("ch", "ch", ("light motorised bicycle, no plate",)),
    ("no", "no", ("bicycle",)),
    ("us", "us-classes", ("Class 1", "Class 2", "Class 3")),
    ("us-ca", "us-california", ("Class 1", "Class 2", "Class 3")),
    ("ca-bc", "ca-british-columbia", ("light e-bike", "standard e-bike")),
    ("au", "au", ("EPAC", "power-assisted pedal cycle of 200 W")),
    ("nz", "nz", ("power-assisted cycle",)),
    ("jp", "jp", ("bicycle with assistance (駆動補助機付自転車)",)),
    ("cn", "cn", ("electric bicycle",)),
)
"""Region id as in settings, id of its legal rule, and the categories that it treats most like a bicycle."""


MUSTS = {
    "sale": "It is no longer sold.",
    "use": "It is made for other things.",
    "budget": "It costs {price}, more than your {budget}.",
    "reach": "One charge is likely not enough for your trip of {trip}: {range} on roads like {where}, with {load} to carry.",
    "mass": "Too heavy together: bike, rider and load come to {total}, and {permitted} are permitted.",
    "racks": "Its racks may take {racks}, and you want to carry {load}.",
    "law": "On the figures given, it would fall in “{category}” ({region}), not in the category closest to a bicycle.",
    "lift": "It weighs {mass}, too much to be carried every day.",
}
"""Sentence for a bike that misses a must-have, by must-have, in the order in which they are checked."""

DOUBTS = {
    "reach": "Not known: whether one charge is enough for your trip.",
    "mass": "Not known: the permitted total mass. Ask the maker before you carry that.",
    "racks": "Not known: where it may carry {load}. Ask the maker for a place that is rated for it.",
    "law": "Cannot be told on the figures given: what the law would call it ({region}).",
    "lift": "Not known: how heavy it is.",
    "fast": "On the figures given, it would fall in “{category}” ({region}). That may ask for a plate, insurance, a licence or "
    "a helmet: look up your own law.",
}
"""Warning for a must-have that cannot be judged; the bike stays. `fast` is for readers who waived the legal one."""

APART = {
    "currency": "Priced in {currency}. We convert no money, so it is not set against your budget.",
    "unpriced": "No price is known, so it is not set against your budget.",
}

UNKNOWN = "Not known: “{title}”. It counts as not met."

RULE = (
    "First the must-haves. A bike is left out when it is no longer sold, is made for other uses, costs more than the budget, "
    "is likely to run out of charge on one trip, would carry more than its permitted total mass or more than its racks may "
    "take (a child must go in one place), weighs more than 25 kg though it must be carried every day, or would fall in "
    "another legal category than the ones closest to a bicycle (unless you ask for those). A load under 15 kg needs no rack.",
    "Then the wishes. Each is met from 0 to 1, along straight lines between the points in the table below. A bike's score is "
    "the mean of these, weighted with the weights you see, out of 100. The points are our choice, but for 25 kg and 16 kg: "
    "those are the guideline weights for lifting close to the body in leaflet INDG143 of the British HSE, from memory.",
    "What is not known cannot meet a wish: it counts as 0, and the page says so. What is not known of a must-have does not "
    "leave a bike out: it stays, with a warning.",
    "With a budget, bikes priced in other currencies or not at all stand apart, since we convert no money.",
    "Two neighbours whose scores differ by less than 3 of 100 are called close: there is no clear order between them. Equal "
    "scores stand by price, then by name. Of other answers those are told that put another bike first by 3 of 100 or more.",
    "Nothing else enters: no payment, no link, no relation to a maker or a seller.",
)
"""The exact rule in words. A test compares its numbers with the tables above."""
