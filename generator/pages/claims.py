"""What makers claim beside what we work out, for all bikes on one page, the widest gap first."""

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from generator.pages import places
from generator.pages.leaves import ROWS, leaves
from generator.pages.output import Output
from generator.pages.press import Press, Sheet
from generator.specs.bike import Bike

RANGE = "claims.range_ratio"
POWER = "claims.power_ratio"
FULL_EFFICIENCY = 0.85
"""Mechanical over battery power above which a stated power is hard to reach. [-]  Value from memory."""


@dataclass(frozen=True)
class Row:
    name: str
    href: str
    cells: list[Markup]
    words: str
    """What would make the claim true; empty where nothing is to be said."""


TITLE = "What makers claim"


def outputs(press: Press) -> Iterator[Output]:
    path = places.CLAIMS
    default = next((route for route in press.content.routes if route.default), None)
    route = default or next(iter(press.content.routes), None)
    computed = f"range.{route.id}" if route else ""
    ranges, powers = _worst_first(press, RANGE), _worst_first(press, POWER)
    told = {bike.slug for bike in ranges}
    silent = [bike.full_name for bike in press.table.bikes if bike.slug not in told]
    rides = [press.table.claims[slug] for slug in told if slug in press.table.claims]
    for leaf in leaves(path, max(len(ranges), len(powers))):
        yield press.printed(
            Sheet(
                path=leaf.path,
                template="claims.html",
                title=TITLE if leaf.first else f"{TITLE}, {leaf.span}",
                description="Every claimed range and power beside what we work out, the widest gap first, and the ride that "
                "would make each claim true.",
                above=() if leaf.first else ((TITLE, path),),
                values={
                    "leaf": leaf,
                    "route": route.name if route else "",
                    "ranges": [
                        _row(
                            press,
                            bike,
                            leaf.path,
                            (RANGE, "claims.range", computed),
                            range_words(press, bike),
                        )
                        for bike in leaf.of(ranges)
                    ],
                    "claimed": len(ranges),
                    "powers": [
                        _row(
                            press,
                            bike,
                            leaf.path,
                            (POWER, "spec.peak_power", "motor.peak_power"),
                            _power(press, bike),
                        )
                        for bike in leaf.of(powers)
                    ],
                    "silent": silent[:ROWS] if leaf.first else [],
                    "more_silent": max(0, len(silent) - ROWS),
                    "ordinary": sum(ride.verdict == "ordinary" for ride in rides),
                },
            )
        )


def range_words(press: Press, bike: Bike) -> str:
    """The ride that would make a bike's range claim true, in a sentence; empty when nothing is claimed."""
    ride = press.table.claims.get(bike.slug)
    return ride.words if ride else ""


def _power(press: Press, bike: Bike) -> str:
    ratio = press.table.get(bike.slug, POWER)
    if ratio is None:
        return ""
    if ratio.value > 1.0:
        return "More than the battery can give with the current that is stated."
    if ratio.value > FULL_EFFICIENCY:
        return "Of mechanical power, that would ask for a motor with hardly any loss; of battery power, it fits."
    return "It fits what the battery can give."


def _worst_first(press: Press, figure_id: str) -> list[Bike]:
    found = press.table.column(figure_id)
    bikes = [bike for bike in press.table.bikes if bike.slug in found]
    return sorted(bikes, key=lambda bike: -found[bike.slug].value)


def _row(press: Press, bike: Bike, path: str, ids: tuple[str, ...], words: str) -> Row:
    return Row(
        bike.full_name,
        places.link(path, places.bike(bike.slug) + "#claimed"),
        [press.number(press.table.get(bike.slug, each), path) for each in ids],
        words,
    )
