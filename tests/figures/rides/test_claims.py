"""Claims beside the physics, what moves a figure, and the files for download."""

import csv
import io
import json
from dataclasses import replace

import pytest

from generator.figures.table.downloads import escape_formula, format_bike_json, make_downloads
from generator.figures.table.figures_table import COLUMNS
from generator.figures.table.tabulate import tabulate
from tests.figures import demo


def claimed(slug: str, kilometres: float):
    """The ride for a bike's claim, if its maker claimed so many kilometres."""
    bike = demo.bike(slug)
    claim = bike.claims.range
    assert claim is not None
    assert claim.high is not None
    high = replace(claim.high, value=1000.0 * kilometres, text=f"{kilometres:g} km")
    bike = replace(bike, claims=replace(bike.claims, range=replace(claim, high=high)))
    return tabulate([bike], demo.content()).claims[slug]


def test_absurd_claim_needs_an_odd_ride():
    """The demo bike made for it reaches its claim on no computed ride."""
    assert demo.table().claims["tuspen-crulm"].verdict in ("slow", "none")


def test_a_modest_claim_is_ordinary():
    """A claim below the computed range is within an ordinary ride."""
    assert claimed("tuspen-crulm", 20.0).verdict == "ordinary"


def test_an_impossible_claim_is_told_so():
    """A claim that even standby power forbids comes true on no ride."""
    answer = claimed("tuspen-crulm", 5000.0)

    assert answer.verdict == "none"
    assert answer.speed is None


def test_a_higher_claim_asks_for_a_slower_ride():
    """The steady speed at which a claim comes true falls as the claim grows."""
    speeds = [claimed("tuspen-crulm", reach).speed for reach in (160.0, 220.0, 400.0)]
    told = [speed for speed in speeds if speed is not None]

    assert told == sorted(told, reverse=True)


def test_more_effort_and_less_mass_climb_better():
    """Effects have the sign that physics asks for: a heavier rider climbs less, a stronger one more."""
    for slug in demo.UNLIKE:
        effects = {each.title: each for each in demo.table().effects[slug]["hills.steepest"]}

        assert effects["Rider's mass"].at_little > effects["Rider's mass"].at_much
        assert effects["Rider's effort"].at_little < effects["Rider's effort"].at_much


def test_cold_and_wind_take_range():
    """Cold and wind shorten the range; the strongest effect comes first."""
    for slug in demo.UNLIKE:
        told = demo.table().effects[slug]["range.rolling"]
        effects = {each.title: each for each in told}
        sizes = [abs(each.at_much - each.at_little) for each in told]

        assert effects["Temperature"].at_little < effects["Temperature"].at_much
        assert effects["Wind"].at_little > effects["Wind"].at_much
        assert sizes == sorted(sizes, reverse=True)


def test_csv_and_json_hold_the_same_table():
    """Every figure of every bike, the same in both, as the table has it."""
    table = demo.table()
    files = make_downloads(table)
    rows = list(csv.DictReader(io.StringIO(files["data/figures.csv"].decode())))
    objects = json.loads(files["data/figures.json"])

    assert len(rows) == len(objects) == sum(map(len, table.figures.values()))
    for row, each in zip(rows, objects, strict=True):
        assert list(row) == list(each) == list(COLUMNS)
        assert float(row["value"]) == each["value"]
        figure = table.get(row["bike"], row["figure"])
        assert figure is not None
        assert (each["value"], each["low"], each["high"]) == (figure.value, figure.low, figure.high)


def test_data_package_describes_the_files():
    """Each resource's fields are the columns of its file, and its keys exist (Frictionless Data Package 1)."""
    files = make_downloads(demo.table(), "Title", "CC0-1.0")
    package = json.loads(files["data/datapackage.json"])

    assert package["profile"] == "tabular-data-package"
    for resource in package["resources"]:
        header = files[f"data/{resource['path']}"].decode().splitlines()[0].split(",")
        names = [field["name"] for field in resource["schema"]["fields"]]
        assert header == names
        assert set(resource["schema"]["primaryKey"]) <= set(names)


def test_each_bike_is_there_as_json():
    """The JSON has the SI value and the declared text."""
    bike = json.loads(format_bike_json(demo.bike("tuspen-hebb")))

    assert bike["mass"]["text"].endswith("lb")
    assert bike["mass"]["value"] == pytest.approx(
        float(bike["mass"]["text"].split()[0]) * 0.45359237
    )


@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1"])
def test_no_cell_is_a_formula(cell):
    """OWASP, CSV Injection: a cell that would begin a formula gets an apostrophe (value from memory)."""
    assert escape_formula(cell) == "'" + cell
    assert escape_formula("hilly") == "hilly"
