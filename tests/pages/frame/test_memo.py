"""What the press has said of each bike alone."""

from pathlib import Path

from generator.pages.frame.renderer import Renderer
from generator.specs.bike import Bike
from tests.pages import site_example as example


def renderer() -> Renderer:
    return Renderer(example.table(), example.CONTENT, Path("nowhere"))


def test_nobody_sees_the_others() -> None:
    def bikes(alone: Renderer, bike: Bike) -> list[str]:
        return [*alone.table.figures, *(each.slug for each in alone.table.bikes)]

    made = renderer()

    assert made.of_each("bikes", bikes) == {
        bike.slug: [bike.slug, bike.slug] for bike in made.table.bikes
    }


def test_one_bike_alone_is_never_kept_as_the_whole_catalogue() -> None:
    """A keeper keeps by name, so a page of one bike must not put its own in the place of all."""
    kept: list[str] = []

    def keeper(name, reads, make):
        kept.append(name)
        return {slug: make(slug) for slug in reads}

    made = Renderer(example.table(), example.CONTENT, Path("nowhere"), keeper=keeper)

    made.only(made.table.bikes[0]).of_each("alone", lambda alone, bike: bike.slug)
    assert kept == []
    made.of_each("all", lambda alone, bike: bike.slug)
    assert kept == ["all"]
