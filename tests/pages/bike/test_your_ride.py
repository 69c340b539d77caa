"""The data of "your ride": it agrees with the published figures, fits its size, and is left out where there is none."""

import gzip
import json
import math
from dataclasses import replace

import pytest

from generator.figures.rides import ride_grid
from generator.figures.table.tabulate import tabulate
from generator.pages.bike import your_ride
from generator.pages.frame import urls
from generator.pages.frame.renderer import Renderer
from tests.figures import demo
from tests.pages import site_example as example
from tests.project import ROOT

SLUGS = ("neshwick-arrum", "oskelm-talli", "ivorrel-siskol", "gromblo-drusk")
"""Bikes with own rides and five levels, with five speed levels, one that has to be pushed, and one without listed levels."""
MOST = 12 * 1024
"""Largest size of a data file, compressed. [bytes]"""


@pytest.fixture(scope="module")
def renderer() -> Renderer:
    return Renderer(tabulate(demo.some(*SLUGS), demo.content()), demo.content(), ROOT)


@pytest.fixture(scope="module")
def files(renderer: Renderer) -> dict[str, dict]:
    found = {}
    for output in (
        each for bike in renderer.table.bikes for each in your_ride.make_bike_data(renderer, bike)
    ):
        assert len(gzip.compress(output.data)) <= MOST
        text = output.data.decode()
        start = f"guide.take({json.dumps(output.path)},"
        assert text.startswith(start)
        found[output.path] = json.loads(text[len(start) : -3])
    return found


def test_every_bike_with_a_range_has_a_file(renderer: Renderer, files: dict) -> None:
    assert set(files) == {
        your_ride.data_path(bike.slug)
        for bike in renderer.table.bikes
        if your_ride.find_published_ranges(renderer, bike)
    }
    assert len(files) >= 3


def test_at_the_usual_settings_it_gives_the_published_range(
    renderer: Renderer, files: dict
) -> None:
    """In the file, energy over e to the logarithm at the middle node is the figure, own rides included."""
    compared = 0
    for slug in SLUGS[:3]:
        found = files[your_ride.data_path(slug)]
        usual = found["usual"]
        for number, level in enumerate(found["levels"]):
            figure = renderer.table.get(slug, f"range.rolling.level_{number + 1}")
            assert figure is not None
            assert level["published"] == [figure.value, figure.low, figure.high]
            there = level["logs"][usual["hill"]][usual["wind"]][usual["warmth"]]
            logarithm = there[found["middle_mass"]][0][found["side"]]
            if logarithm is not None:
                value = level["energy"] / math.exp(logarithm / found["fine"])
                assert value == pytest.approx(figure.value, rel=1e-6)
                compared += 1
    assert compared >= 10


def test_own_rides_are_in_it(renderer: Renderer, files: dict) -> None:
    """The nominal value differs, and the factor corrects it."""
    figure = renderer.table.get("neshwick-arrum", "range.rolling.level_3")
    assert figure is not None
    assert figure.before_rides is not None
    assert files[your_ride.data_path("neshwick-arrum")]["levels"][2]["published"][0] == figure.value
    assert figure.value != figure.before_rides[0]


def test_its_words_and_spans(files: dict) -> None:
    found = files[your_ride.data_path("oskelm-talli")]
    assert found["spans"] == {"mass": [60, 108], "effort": [40, 150]}
    assert found["warmths"] == [[0.0, "frost"], [14.0, "as on the route"], [26.0, "warm"]]
    assert found["capacity"][0] < found["capacity"][1] == 1 <= found["capacity"][2]
    assert [words for _, words in found["winds"]] == ["a breeze", "windy"]
    assert found["riders"][1] == ["the gentle rider", 65.0, 50.0]
    assert found["ages"][3] == [0.8, "1000 full charges old"]
    climbs = [round(1000 * climb) for climb, _ in found["hills"]]
    assert climbs == [7, 14, 28]


def test_the_part_links_to_the_tables_of_the_page(renderer: Renderer) -> None:
    bike = demo.bike("neshwick-arrum")
    found = your_ride.make_template_values(renderer, bike, urls.bike(bike.slug))
    assert found is not None
    assert found["data"] == "bikes/neshwick-arrum/ride.js"
    assert found["tables"] == [
        ("by level", "#family-range-level"),
        ("by rider", "#family-range-rider"),
    ]


def test_without_a_table_there_is_no_part(renderer: Renderer) -> None:
    """No data for a publication whose figures were not computed here, or for a bike without ranges."""
    bare = Renderer(example.table(), example.CONTENT, ROOT)
    bike = bare.table.bikes[0]
    assert your_ride.make_template_values(bare, bike, urls.bike(bike.slug)) is None
    assert list(your_ride.make_bike_data(bare, bike)) == []
    table = replace(renderer.table, figures={slug: {} for slug in SLUGS})
    none = Renderer(table, demo.content(), ROOT)
    assert (
        your_ride.make_template_values(
            none, demo.bike("oskelm-talli"), "bikes/oskelm-talli/index.html"
        )
        is None
    )
    assert list(your_ride.make_bike_data(none, demo.bike("oskelm-talli"))) == []


def test_what_has_to_be_pushed_is_not_told(files: dict) -> None:
    """The gaps are null in consumption and time alike; every other number is whole."""
    found = files[your_ride.data_path("ivorrel-siskol")]
    pairs = [
        pair
        for level in found["levels"]
        for winds in level["logs"]
        for warmths in winds
        for masses in warmths
        for parts in masses
        for pair in zip(*parts, strict=True)
    ]
    assert (None, None) in pairs
    assert all((one is None) == (other is None) for one, other in pairs)
    assert all(isinstance(one, int) for one, _ in pairs if one is not None)
    assert len(pairs) == len(found["levels"]) * 3 * 2 * 3 * 3 * ride_grid.EFFORT_NODES
