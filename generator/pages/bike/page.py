"""The pages of a bike: its figures, claims and measurements, and on a second page all inputs of its figures."""

from collections.abc import Iterator

from generator.figures.table import downloads
from generator.pages import law as law_page
from generator.pages.bike import glance, own_tests, record, sensitivity, traces, your_ride
from generator.pages.bike.neighbours import Neighbours, find_neighbours
from generator.pages.bike.sections import BikeFigures
from generator.pages.compare import bike_cards
from generator.pages.compare.pairs import BikePairs
from generator.pages.contribute import page as contribute_page
from generator.pages.downloads import chart_data
from generator.pages.frame import structured_data, urls
from generator.pages.frame.headlines import select_headlines
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.renderer import Renderer
from generator.pages.notices import cautions, disclosure
from generator.pages.pictures import link_pictures
from generator.pages.reference import claims
from generator.pages.reference import pages as reference_pages
from generator.specs.bike import Bike


def plan_jobs(renderer: Renderer, pairs: BikePairs) -> Iterator[Job]:
    """Yield a job for each bike, which makes all files about that bike alone."""
    for bike in renderer.table.bikes:
        yield Job(_make_files, (bike.slug, find_neighbours(renderer, bike, pairs)))


def _make_files(renderer: Renderer, slug: str, neighbours: Neighbours) -> Iterator[Output]:
    for bike in renderer.bikes([slug]):
        yield from render_pages(renderer, bike, neighbours)
        yield from chart_data.make_bike_rows(renderer, bike)
        yield from your_ride.make_bike_data(renderer, bike)
        yield from bike_cards.make_card(renderer, bike)
        yield from contribute_page.make_bike_data(renderer, bike)
        yield Output(reference_pages.bike_file(slug), downloads.format_bike_json(bike))
        yield from link_pictures.make_bike_picture(renderer, bike)


def render_pages(renderer: Renderer, bike: Bike, others: Neighbours) -> Iterator[Output]:
    """Yield the page of a bike and the page of its inputs."""
    figures = BikeFigures(renderer, bike, urls.bike(bike.slug))
    yield renderer.render_page(_bike_page(renderer, bike, others, figures))
    yield renderer.render_page(_inputs_page(bike, figures))


def _inputs_page(bike: Bike, figures: BikeFigures) -> Page:
    name = bike.full_name
    return Page(
        path=urls.inputs(bike.slug),
        template="bike_inputs.html",
        title=f"{name}: all inputs",
        description=f"What the figures of the {name} start from, with basis and source.",
        above=(("Bikes", urls.BIKES), (name, urls.bike(bike.slug))),
        values={"name": name, "inputs": figures.inputs.list_rows()},
    )


def _bike_page(renderer: Renderer, bike: Bike, others: Neighbours, figures: BikeFigures) -> Page:
    path = urls.bike(bike.slug)
    name = bike.full_name
    known = renderer.table.figures_of(bike.slug)
    shown = [known[kind.id] for kind in select_headlines(figure.kind for figure in known.values())]
    picture = renderer.address(urls.picture("bikes", bike.slug))
    data = structured_data.build_product(bike, renderer.address(path), picture, shown)
    sections = figures.build_sections()
    rider = next((one for one in renderer.content.riders if one.default), None)
    load = cautions.describe_load(known.get("spec.mass"), known.get("spec.permitted_mass"), rider)
    moved = sensitivity.list_sensitivities(renderer, bike)
    ride = your_ride.make_template_values(renderer, bike, path)
    law = law_page.describe_law(renderer, bike, path, others.law)
    paper, claim_checks = figures.build_group("spec"), figures.build_group("claims")
    stated = record.list_stated_values(bike)
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
            "status": record.describe_status(bike),
            "terms": disclosure.describe_bike_terms(bike),
            "seen_prices": others.prices and urls.link(path, others.prices),
            "ridden": record.describe_experience(bike),
            "version": record.describe_version(bike),
            "glances": glance.answer_headlines(renderer, bike, path, law, others.ranks),
            "holds": "; ".join(traces.find_usual_conditions(renderer, bike.slug)),
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
            "facts": record.list_facts(bike),
            "stated": stated,
            "testing": urls.link(path, urls.page("testing"))
            if "testing" in renderer.page_titles
            else "",
            "tests": own_tests.compare_tests(renderer, bike, path),
            "claims": record.list_claims(bike),
            "claim_words": claims.describe_range_claim(renderer, bike),
            "claim_checks": list(claim_checks.values()),
            "paper": [line for id, line in paper.items() if id not in in_table],
            "stated_figures": in_table,
            "missing": record.list_missing(bike),
            "rides": record.describe_rides(renderer.table, bike, renderer.system),
            "unworkable": record.list_uncomputed(renderer.table, bike.slug),
            "inputs": len(figures.inputs.list_rows()),
            "rivals": [
                (rival, urls.link(path, urls.comparison(bike.slug, slug)))
                for rival, slug in others.rivals
            ],
            "route_names": {route.id: route.name for route in renderer.content.routes},
            "rider_names": {rider.id: rider.name for rider in renderer.content.riders},
        },
    )
