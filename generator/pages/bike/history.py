"""What is dated about a bike: when something was seen, measured, changed or corrected."""

from dataclasses import dataclass
from datetime import date

from generator.content.model import Content
from generator.specs.bike import Bike

CORRECTED = "corrected"
REVISED = "changed by the maker"


@dataclass(frozen=True)
class Record:
    day: date
    kind: str
    """In a few words, as it stands in a list: `correction`."""
    words: str
    """One sentence, plain text."""


def records(bike: Bike, content: Content) -> list[Record]:
    """Newest first; of one day in the order of the bike's page."""
    routes = {route.id: route.name for route in content.routes}
    found = []
    if bike.price:
        words = f"List price seen: {bike.price.text}."
        found.append(Record(bike.price.date, "price seen", words))
    for test in bike.tests:
        words = f"Measured, {test.what}: {test.value.text} ({test.method}; {test.conditions})."
        found.append(Record(test.date, "measured", words))
    for ride in bike.rides:
        used = ride.energy or ride.charge_share
        cost = f" with {used.text} of the battery" if used else ""
        words = f"Ridden on {routes.get(ride.route, ride.route)}, level {ride.level}: {ride.distance.text}{cost}."
        found.append(Record(ride.date, "ridden", words))
    for revision in bike.revisions:
        words = f"Changed by the maker, {revision.kind}: {revision.what}"
        found.append(Record(revision.date, REVISED, words))
    for fault in bike.corrections:
        words = f"Corrected, {fault.key}: was {fault.was}, is now {fault.now}. {fault.reason}"
        found.append(Record(fault.date, CORRECTED, words))
    return sorted(found, key=lambda one: one.day, reverse=True)


def newest(bike: Bike, content: Content) -> date | None:
    return max((one.day for one in records(bike, content)), default=None)
