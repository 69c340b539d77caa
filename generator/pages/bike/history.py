"""The dated events of a bike: prices seen, measurements, rides, changes by the maker, corrections."""

from dataclasses import dataclass
from datetime import date

from generator.content.model import Content
from generator.specs.bike import Bike

CORRECTED = "corrected"
REVISED = "changed by the maker"


@dataclass(frozen=True)
class BikeEvent:
    """A dated event of a bike."""

    day: date
    kind: str
    """Kind of event as a list shows it, such as `corrected`."""
    words: str
    """One sentence, plain text."""


def list_events(bike: Bike, content: Content) -> list[BikeEvent]:
    """Return the events of a bike, newest first; events of one day in the order of the bike's page."""
    routes = {route.id: route.name for route in content.routes}
    found = []
    if bike.price:
        words = f"List price seen: {bike.price.text}."
        found.append(BikeEvent(bike.price.date, "price seen", words))
    for test in bike.tests:
        words = f"Measured, {test.what}: {test.value.text} ({test.method}; {test.conditions})."
        found.append(BikeEvent(test.date, "measured", words))
    for ride in bike.rides:
        used = ride.energy or ride.charge_share
        cost = f" with {used.text} of the battery" if used else ""
        words = f"Ridden on {routes.get(ride.route, ride.route)}, level {ride.level}: {ride.distance.text}{cost}."
        found.append(BikeEvent(ride.date, "ridden", words))
    for revision in bike.revisions:
        words = f"Changed by the maker, {revision.kind}: {revision.what}"
        found.append(BikeEvent(revision.date, REVISED, words))
    for fault in bike.corrections:
        words = f"Corrected, {fault.key}: was {fault.was}, is now {fault.now}. {fault.reason}"
        found.append(BikeEvent(fault.date, CORRECTED, words))
    return sorted(found, key=lambda one: one.day, reverse=True)


def find_newest_day(bike: Bike, content: Content) -> date | None:
    """Return the day of a bike's newest event; None without events."""
    return max((one.day for one in list_events(bike, content)), default=None)
