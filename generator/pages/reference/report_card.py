"""The report card of the model: every ride of our own beside the consumption computed for it beforehand."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from generator.figures import show
from generator.figures.rides.own_rides import RideCheck
from generator.figures.units import CONSUMPTION, SHARE
from generator.pages.frame import urls
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.renderer import Renderer

NO_BREAK = "\N{NO-BREAK SPACE}"
"""Separates a value from its unit."""
INTERVAL = 0.8
"""Share of rides that should lie within the interval, which runs from the 10th to the 90th percentile. [-]"""


@dataclass(frozen=True)
class RideRow:
    """A ride of the report card."""

    bike: str
    href: str
    route: str
    who: str
    """Rider and assist level."""
    measured: str
    computed: str
    interval: str
    residual: str
    place: str
    """Whether the ride lies `inside` or `outside` its interval."""
    check: RideCheck
    """The numbers that the table is sorted by."""


def outputs(renderer: Renderer) -> Iterator[Output]:
    """Yield the report card, the worst miss first."""
    path = urls.REPORT_CARD
    checks = sorted(renderer.table.rides, key=lambda check: -abs(check.residual))
    yield renderer.render_page(
        Page(
            path=path,
            template="report_card.html",
            title="Report card of the model",
            description="Every ride that we have metered beside what the model said of it before, the worst miss first.",
            above=(("Method", urls.METHOD),),
            values={
                "rows": [_make_row(renderer, check, path) for check in checks],
                "summary": summarize_rides(checks),
            },
        )
    )


def summarize_rides(checks: Sequence[RideCheck]) -> str:
    """Say how many rides lie inside their interval, and by how much the model is off on average."""
    if not checks:
        return "No ride has been metered yet."
    inside = sum(check.inside for check in checks)
    mean = sum(check.residual for check in checks) / len(checks)
    size = sum(abs(check.residual) for check in checks) / len(checks)
    lean = (
        "as much as"
        if abs(mean) < 0.005
        else f"{abs(mean) * 100:.0f} % {'more' if mean > 0 else 'less'} than"
    )
    return (
        f"{inside} of {len(checks)} rides lie inside an {INTERVAL * 100:.0f} % interval, where "
        f"{INTERVAL * len(checks):.0f} should. On average the bikes took {lean} computed; a single ride is off by "
        f"{size * 100:.0f} % either way."
    )


def _make_row(renderer: Renderer, check: RideCheck, path: str) -> RideRow:
    bike = renderer.table.bike(check.bike)
    ride = check.ride
    routes = {route.id: route.name for route in renderer.content.routes}
    riders = {rider.id: rider.name for rider in renderer.content.riders}
    low, high = (_format_consumption(renderer, value) for value in (check.low, check.high))
    return RideRow(
        bike.full_name if bike else check.bike,
        urls.link(path, urls.bike(check.bike) + "#measured"),
        routes.get(ride.route, ride.route),
        f"{riders.get(ride.rider, ride.rider)}, {ride.level}",
        _format_consumption(renderer, check.measured),
        _format_consumption(renderer, check.computed),
        f"{low.split(NO_BREAK)[0]} to {high}",
        _format_signed(check.residual),
        "inside" if check.inside else "outside",
        check,
    )


def _format_consumption(renderer: Renderer, value: float) -> str:
    return show.format_quantity(
        value, CONSUMPTION.us if renderer.system == "us" else CONSUMPTION.metric
    )


def _format_signed(share: float) -> str:
    text = show.format_digits(share * SHARE.metric.factor, 0)
    signed = text if text.startswith((show.MINUS, "0")) else f"+{text}"
    return show.join_unit(signed, SHARE.metric.unit)
