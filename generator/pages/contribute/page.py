"""The form by which a reader adds or corrects a bike's file, and what it works with.

Nothing is sent: the page writes the text of a spec file in the browser, to be copied or downloaded.
"""

from collections.abc import Iterator

from generator.pages.contribute.form_data import as_written, fields, units
from generator.pages.frame import urls
from generator.pages.frame.browser_data import data_file
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Page, Renderer
from generator.specs.bike import Bike
from generator.specs.read import SCHEMA, own_schema
from generator.specs.schema.validate import Schema
from generator.specs.yaml.files import read_mapping

TITLE = "Add or correct a bike"


def outputs(renderer: Renderer) -> Iterator[Output]:
    schema = schema_of(renderer)
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
    yield data_file(urls.FORM_DATA, {"bike": fields(schema), **units()})


def schema_of(renderer: Renderer) -> Schema:
    """That of the publication's spec files; empty where it cannot be read."""
    return own_schema(renderer.root)[0] or {}


def of_bike(renderer: Renderer, bike: Bike, schema: Schema) -> Iterator[Output]:
    """What the form shows of a bike that is corrected; `schema` is that of its file."""
    marked, _ = read_mapping(renderer.root / bike.file, renderer.root)
    if marked is not None:
        yield data_file(urls.spec(bike.slug), as_written(marked, schema))
