"""A bike's page: facts first, then what was claimed and measured, then where every number comes from."""

from collections.abc import Iterator

from generator.pages import bike_figures, bike_record, cautions, jsonld, places
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
    figures = press.table.of(bike.slug)
    shown = [figure for figure in figures.values() if figure.kind.headline]
    claim_checks = [figure for figure in figures.values() if figure.kind.group == "claims"]
    sections = bike_figures.sections(press, bike, path)
    data = jsonld.product(bike, press.address(path), shown)
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
            "headlines": bike_figures.headlines(press, bike, path),
            "sections": sections,
            "places": [(section.id, section.title) for section in sections]
            + [("paper", "On paper"), ("measured", "What we measured"), ("origins", "Where each number comes from")],
            "load_caution": cautions.load(bike),
            "uses": [(use, places.link(path, places.use(use))) for use in bike.uses],
            "facts": bike_record.plain_facts(bike),
            "stated": bike_record.stated(bike),
            "claims": bike_record.claims(bike),
            "claim_checks": bike_figures.lines(press, claim_checks, path),
            "missing": bike_record.missing(bike),
            "derivations": bike_figures.derivations(press, bike, path),
            "rivals": [
                (name_of(rival), places.link(path, places.comparison(bike.slug, rival.slug)))
                for rival in pairs.of(bike)
            ],
            "route_names": {route.id: route.name for route in press.content.routes},
            "rider_names": {rider.id: rider.name for rider in press.content.riders},
        },
    )
