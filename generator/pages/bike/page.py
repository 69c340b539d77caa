"""A bike's pages: facts first, then what was claimed and measured; and beside it all inputs of its figures."""

from collections.abc import Iterator
from functools import partial

from generator.figures.table import downloads
from generator.pages import law as law_page
from generator.pages.bike import glance, own_tests, record, sensitivity, traces, your_ride
from generator.pages.bike.neighbours import Surroundings, around
from generator.pages.bike.sections import BikeFigures
from generator.pages.compare import bike_cards
from generator.pages.compare.pairs import Pairs
from generator.pages.contribute import page as contribute_page
from generator.pages.downloads import chart_data
from generator.pages.frame import cautions, disclosure, structured_data, urls
from generator.pages.frame.headlines import headlines
from generator.pages.frame.jobs import Job, seeing
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Page, Renderer
from generator.pages.pictures import link_pictures
from generator.pages.reference import claims
from generator.pages.reference import pages as reference_pages
from generator.specs.bike import Bike
from generator.specs.schema.validate import Schema


def jobs(renderer: Renderer, pairs: Pairs, draw: link_pictures.Draw) -> Iterator[Job]:
    """One for each bike: everything that is about it alone."""
    schema = contribute_page.schema_of(renderer)
    for bike in renderer.table.bikes:
        others = around(renderer, bike, pairs)
        yield seeing(renderer, [bike], partial(_of_bike, bike, others, draw, schema), others)


def _of_bike(
    bike: Bike, others: Surroundings, draw: link_pictures.Draw, schema: Schema, alone: Renderer
) -> Iterator[Output]:
    yield from pages(alone, bike, others)
    yield from chart_data.of_bike(alone, bike)
    yield from your_ride.of_bike(alone, bike)
    yield from bike_cards.of_bike(alone, bike)
    yield from contribute_page.of_bike(alone, bike, schema)
    yield Output(reference_pages.bike_file(bike.slug), downloads.bike_json(bike))
    yield from link_pictures.of_bike(alone, draw, bike)


def pages(renderer: Renderer, bike: Bike, others: Surroundings) -> Iterator[Output]:
    """The page of a bike, and that of its inputs."""
    figures = BikeFigures(renderer, bike, urls.bike(bike.slug))
    yield renderer.render_page(_sheet(renderer, bike, others, figures))
    yield renderer.render_page(_inputs(bike, figures))


def _inputs(bike: Bike, figures: BikeFigures) -> Page:
    name = bike.full_name
    return Page(
        path=urls.inputs(bike.slug),
        template="bike_inputs.html",
        title=f"{name}: all inputs",
        description=f"What the figures of the {name} start from, with basis and source.",
        above=(("Bikes", urls.BIKES), (name, urls.bike(bike.slug))),
        values={"name": name, "inputs": figures.inputs.rows()},
    )


def _sheet(renderer: Renderer, bike: Bike, others: Surroundings, figures: BikeFigures) -> Page:
    path = urls.bike(bike.slug)
    name = bike.full_name
    known = renderer.table.of(bike.slug)
    shown = [known[kind.id] for kind in headlines(figure.kind for figure in known.values())]
    picture = renderer.address(urls.picture("bikes", bike.slug))
    data = structured_data.product(bike, renderer.address(path), picture, shown)
    sections = figures.sections()
    rider = next((one for one in renderer.content.riders if one.default), None)
    load = cautions.load(known.get("spec.mass"), known.get("spec.permitted_mass"), rider)
    moved = sensitivity.moves(renderer, bike)
    ride = your_ride.values(renderer, bike, path)
    law = law_page.law(renderer, bike, path, others.law)
    paper, claim_checks = figures.group("spec"), figures.group("claims")
    stated = record.stated(bike)
    in_table = {
        entry.figure: paper[entry.figure]
        for entry in stated
        if entry.figure in paper and paper[entry.figure].anchor
    }
    return Page(
        path=path,
        template="bike.html",
        scripts=("ride",) if ride else (),
        title=name,
        description=bike.summary or f"{name}, {bike.year}: its figures and where they come from.",
        above=(("Bikes", urls.BIKES),),
        data=(data,),
        values={
            "bike": bike,
            "name": name,
            "status": record.status(bike),
            "terms": disclosure.of_bike(bike),
            "seen_prices": others.prices and urls.link(path, others.prices),
            "ridden": record.ridden(bike),
            "version": record.version(bike),
            "glances": glance.glances(renderer, bike, path, law, others.beside),
            "holds": "; ".join(traces.usual(renderer, bike.slug)),
            "sections": sections,
            "ride": ride,
            "law": law,
            "moves": moved,
            "places": [(section.id, section.title) for section in sections]
            + ([("your-ride", "Your ride")] if ride else [])
            + ([("moves", "What moves it")] if moved else [])
            + ([("law", "What the law calls it")] if law else [])
            + [("paper", "On paper"), ("measured", "What we measured")]
            + [("origins", "Inputs and sources")],
            "load_caution": load,
            "uses": [(use, urls.link(path, urls.use(use))) for use in bike.uses],
            "facts": record.plain_facts(bike),
            "stated": stated,
            "testing": urls.link(path, urls.page("testing")) if "testing" in renderer.texts else "",
            "tests": own_tests.tests(renderer, bike, path),
            "claims": record.claims(bike),
            "claim_words": claims.range_words(renderer, bike),
            "claim_checks": list(claim_checks.values()),
            "paper": [line for id, line in paper.items() if id not in in_table],
            "stated_figures": in_table,
            "missing": record.missing(bike),
            "rides": record.rides(renderer.table, bike, renderer.system),
            "unworkable": record.unworkable(renderer.table, bike.slug),
            "inputs": len(figures.inputs.rows()),
            "rivals": [
                (rival, urls.link(path, urls.comparison(bike.slug, slug)))
                for rival, slug in others.rivals
            ],
            "route_names": {route.id: route.name for route in renderer.content.routes},
            "rider_names": {rider.id: rider.name for rider in renderer.content.riders},
        },
    )
