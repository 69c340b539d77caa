"""A bike's page: facts first, then what was claimed and measured, then where every number comes from."""

from collections.abc import Iterator

from generator.pages import bike_record, cautions, jsonld, legal, places
from generator.pages.bike_figures import BikeFigures
from generator.pages.output import Output
from generator.pages.pairs import Pairs
from generator.pages.press import Press, Sheet, name_of
from generator.specs.bike import Bike


def outputs(press: Press, pairs: Pairs) -> Iterator[Output]:
    for bike in press.table.bikes:
        yield press.printed(_sheet(press, bike, pairs))


def _sheet(press: Press, bike: Bike, pairs: Pairs) -> Sheet:
    path = places.bike(bike.slug)
    name = name_of(bike)
    figures = BikeFigures(press, bike, path)
    shown = [figure for figure in press.table.of(bike.slug).values() if figure.kind.headline]
    data = jsonld.product(bike, press.address(path), shown)
    sections = figures.sections()
    law = legal.law(press, bike, path)
    paper, claim_checks = figures.group("spec"), figures.group("claims")
    return Sheet(
        path=path,
        template="bike.html",
        title=name,
        description=bike.summary or f"{name}, {bike.year}: its figures and where they come from.",
        above=(("Bikes", places.BIKES),),
        data=(data,),
        values={
            "bike": bike,
            "name": name,
            "status": bike_record.status(bike),
            "ridden": bike_record.ridden(bike),
            "version": bike_record.version(bike),
            "headlines": figures.headlines(),
            "sections": sections,
            "law": law,
            "places": [(section.id, section.title) for section in sections]
            + ([("law", "What the law calls it")] if law else [])
            + [("paper", "On paper"), ("measured", "What we measured")]
            + [("origins", "Inputs and sources")],
            "load_caution": cautions.load(bike),
            "uses": [(use, places.link(path, places.use(use))) for use in bike.uses],
            "facts": bike_record.plain_facts(bike),
            "stated": bike_record.stated(bike),
            "claims": bike_record.claims(bike),
            "claim_checks": claim_checks,
            "paper": paper,
            "missing": bike_record.missing(bike),
            "rides": bike_record.rides(press.table, bike, press.system),
            "unworkable": bike_record.unworkable(press.table, bike.slug),
            "inputs": figures.inputs.rows(),
            "rivals": [
                (name_of(rival), places.link(path, places.comparison(bike.slug, rival.slug)))
                for rival in pairs.of(bike)
            ],
            "route_names": {route.id: route.name for route in press.content.routes},
            "rider_names": {rider.id: rider.name for rider in press.content.riders},
        },
    )
