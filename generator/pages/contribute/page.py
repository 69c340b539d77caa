"""The page with the form for adding or correcting a spec file, and its data files.

Nothing is sent: the page writes the text of a spec file in the browser, to be copied or downloaded.
"""

from collections.abc import Iterator

from generator.pages.contribute.form_data import build_fields, describe_units, find_written_values
from generator.pages.frame import urls
from generator.pages.frame.browser_data import make_data_file
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike
from generator.specs.read import SCHEMA, find_bike_schema
from generator.specs.schema.validate import Schema
from generator.specs.yaml.files import read_mapping

TITLE = "Add or correct a bike"


def outputs(renderer: Renderer) -> Iterator[Output]:
    """Yield the page with the form and the data of the form."""
    schema = _read_schema(renderer)
    yield renderer.render_page(
        Page(
            path=urls.CONTRIBUTE,
            template="contribute.html",
            title=TITLE,
            description="A form that writes the file of a bike, checks it as you type, and needs no programming.",
            scripts=("form", "contribute"),
            values={
                "written": "contributing" in renderer.texts,
                "schema": (renderer.root / SCHEMA).exists(),
            },
        )
    )
    yield make_data_file(urls.FORM_DATA, {"bike": build_fields(schema), **describe_units()})


def _read_schema(renderer: Renderer) -> Schema:
    """Return the schema of the publication's spec files; empty where it cannot be read."""
    return find_bike_schema(renderer.root)[0] or {}


def make_bike_data(renderer: Renderer, bike: Bike) -> Iterator[Output]:
    """Yield the data of a bike's spec file for the form."""
    schema = renderer.share("schema of spec files", _read_schema, of_table=False)
    marked, _ = read_mapping(renderer.root / bike.file, renderer.root)
    if marked is not None:
        yield make_data_file(urls.spec(bike.slug), find_written_values(marked, schema))
