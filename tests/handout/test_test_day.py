"""The test-day sheet: its lines pass `vet` once filled, and it prints on one page for every bike of the demo."""

import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from generator.figures import show
from generator.handout import outputs as made
from generator.handout.pictures import Pictures
from generator.handout.test_day import BLANK, DAY, TestDay, test_day
from generator.pages.frame import cautions
from generator.pages.frame.renderer import Renderer
from generator.publish.vet.check import check
from generator.specs.read import read_bike
from tests.browser.test_html import errors
from tests.browser.test_pages import accessibility_faults
from tests.handout.conftest import Demo
from tests.project import ROOT

TestDay.__test__ = False  # type: ignore[attr-defined]
test_day.__test__ = False  # type: ignore[attr-defined]
ASKED = ("mass", "rollout", "top assisted speed", "take-up angle", "hill time", "braking distance")
"""In the order in which they are done."""
FILLED = {
    "kg": "26.8", "mm": "2218", "km/h": "24.8", "°": "31", "s": "116", "m": "5.1", "km": "30.3",
    "Wh": "241", "°C": "9", "m/s": "3", "lb": "59", "in": "87.4", "mph": "15.2", "ft": "17",
    "mi": "18.9", "°F": "48",
}  # fmt: skip
"""What somebody might measure, by the unit that the line has."""


def sheet(renderer: Renderer, slug: str) -> TestDay:
    bike = renderer.table.bike(slug)
    assert bike is not None
    return test_day(renderer, bike)


def filled(lines: str) -> str:
    """The lines with every blank filled, as a tester would."""
    lines = re.sub(rf'"{BLANK} ([^",]+)"', lambda found: f'"{FILLED[found[1]]} {found[1]}"', lines)
    return lines.replace(DAY, "2026-11-20").replace(BLANK, "11")


def without_lists(spec: str) -> str:
    """A spec file without its own tests and rides."""
    return re.sub(r"^(?:tests|rides):.*\n(?:[ #].*\n)*", "", spec, flags=re.MULTILINE)


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_lines_pass_vet_once_filled(demo: Demo, tmp_path: Path, system: str) -> None:
    """For every bike that has no tests yet, in the file's own place; what was filled in is what is read."""
    renderer = demo.renderer(units=system)
    shutil.copytree(ROOT / "content", tmp_path / "content")
    shutil.copytree(ROOT / "bikes", tmp_path / "bikes")
    lines = 0
    for bike in demo.table.bikes:
        bare = replace(bike, tests=(), rides=())
        words = filled(test_day(renderer, bare).lines())
        assert BLANK not in words
        path = tmp_path / "bikes" / f"{bike.slug}.yaml"
        path.write_text(without_lists(path.read_text("utf-8")) + words, "utf-8")

        problems = [each for each in check(tmp_path, [path]) if each.severity == "error"]
        assert not problems, [str(each) for each in problems]
        again, _ = read_bike(path, tmp_path)
        assert again is not None
        assert [test.what for test in again.tests] == list(ASKED)
        unit = "kg" if system == "metric" else "lb"
        assert again.tests[0].value.text == f"{FILLED[unit]} {unit}"
        lines += len(again.tests) + len(again.rides)

    assert lines > 200


def test_an_empty_line_does_not_pass(demo: Demo, tmp_path: Path) -> None:
    """A blank left in is an error with its line, and no number by mistake."""
    renderer = demo.renderer()
    shutil.copytree(ROOT / "content", tmp_path / "content")
    (tmp_path / "bikes").mkdir()
    path = tmp_path / "bikes" / "neshwick-tolm.yaml"
    spec = without_lists((ROOT / "bikes" / "neshwick-tolm.yaml").read_text("utf-8"))
    bike = renderer.table.bike("neshwick-tolm")
    assert bike is not None
    path.write_text(spec + test_day(renderer, replace(bike, tests=(), rides=())).lines(), "utf-8")

    assert [each for each in check(tmp_path, [path]) if each.severity == "error"]


def test_a_file_that_has_lists_is_added_to(demo: Demo) -> None:
    """A second `tests:` would be a key twice: the sheet says where the lines go instead."""
    lines = sheet(demo.renderer(), "pellimor-fenno").lines()

    assert "tests:\n" not in lines.replace("`tests:`", "")
    assert "# beneath `tests:`, which the file has already\n  - {what: mass" in lines


def test_what_to_expect(demo: Demo) -> None:
    """Claims as claims, computed figures with their interval, as the site shows them; for brakes nothing."""
    renderer = demo.renderer()
    figures = demo.table.figures["oskelm-talli"]
    day = sheet(renderer, "oskelm-talli")
    expected = {test.what: "; ".join(test.expect) for test in day.tests}
    clean = {what: words.replace("\u2060", "") for what, words in expected.items()}

    assert clean["mass"].startswith("claimed: ")
    assert show.text(figures["spec.mass"], "metric") in clean["mass"]
    assert show.text(figures["assist.take_up_angle"], "metric") in clean["take-up angle"]
    assert show.interval(figures["hills.speed_10"], "metric") in clean["hill time"]
    assert not re.search(r"\d", clean["braking distance"])
    for ride, route in zip(day.rides, ("rolling", "flat", "hilly"), strict=True):
        words = "; ".join(ride.expect).replace("\u2060", "")
        assert show.text(figures[f"energy.{route}"], "metric") in words
        assert f"route: {route}," in ride.line


def test_cautions_stand_on_every_sheet(demo: Demo) -> None:
    """Traffic, helmet, brakes, law, battery; speed where the bike is fast."""
    renderer = demo.renderer()
    for bike in demo.table.bikes:
        words = " ".join(sheet(renderer, bike.slug).cautions)
        for each in (
            "No traffic",
            "helmet",
            "closed, dry, level ground",
            "Local law",
            cautions.BATTERY,
        ):
            assert each in words
        speed = bike.motor.assisted_speed
        assert (cautions.FAST in words) is (speed is not None and speed.value > 40 / 3.6)


@pytest.mark.browser
@pytest.mark.parametrize("system", ["metric", "us"])
def test_one_printed_page(
    demo: Demo, browser: Browser, tmp_path: Path, system: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A4, for all bikes of the demo, and for one with a long name; nothing is wider than the paper."""
    monkeypatch.setattr(Pictures, "all", lambda self: iter(()))
    long = [
        replace(bike, name="Long-Tailed Cargo Carrier Touring Edition Nine")
        for bike in demo.table.bikes[-1:]
    ]
    for bikes in (demo.table.bikes[:-1], long):
        some = Demo(demo.publication, replace(demo.table, bikes=tuple(bikes)))
        renderer = some.renderer(units=system)
        page = browser.new_page()
        for bike in bikes:
            folder = tmp_path / bike.slug
            folder.mkdir(exist_ok=True)
            for output in made.outputs(renderer, some.subject(renderer, bike.slug)):
                (folder / output.path).write_bytes(output.data)
            page.goto((folder / "test-day.html").as_uri())
            pdf = page.pdf(prefer_css_page_size=True)
            assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1, bike.slug
            assert re.search(rb"MediaBox \[0 0 594\.9\d* 841\.9\d*\]", pdf), (
                "A4 is 595 by 842 pt (ISO 216)"
            )
            page.set_viewport_size({"width": 718, "height": 1000})
            page.emulate_media(media="print")
            assert page.evaluate("document.documentElement.scrollWidth") <= 718, bike.slug
            page.emulate_media(media="null")
        page.close()


@pytest.mark.browser
def test_the_pages_are_whole(demo: Demo, browser: Browser, tmp_path: Path) -> None:
    """Valid HTML and nothing that axe objects to; the contact sheet shows every picture from a disk; no script runs."""
    renderer = demo.renderer()
    names = set()
    for output in made.outputs(renderer, demo.subject(renderer, "pellimor-fenno")):
        (tmp_path / output.path).write_bytes(output.data)
        names.add(output.path)
    context = browser.new_context(java_script_enabled=True, viewport={"width": 320, "height": 700})
    page = context.new_page()
    failed: list[str] = []
    page.on("requestfailed", lambda request: failed.append(request.url))
    for name in ("index.html", "speak.html", "test-day.html"):
        page.goto((tmp_path / name).as_uri())
        assert page.locator("script").count() == 0
        assert page.evaluate("[...document.images].every(one => one.naturalWidth > 0)")
        if name != "test-day.html":  # a sheet of paper
            assert page.evaluate("document.documentElement.scrollWidth") <= 320, name
    page.goto((tmp_path / "index.html").as_uri())
    linked = set(page.eval_on_selector_all("a", "all => all.map(one => one.getAttribute('href'))"))
    shown = set(page.eval_on_selector_all("img", "all => all.map(one => one.getAttribute('src'))"))
    alternatives = page.eval_on_selector_all("img", "all => all.map(one => one.alt)")

    assert not failed
    for name in (
        "index.html",
        "speak.html",
        "test-day.html",
    ):  # after the rest: axe asks for files itself
        page.goto((tmp_path / name).as_uri())
        assert not accessibility_faults(page), name
    assert not errors(tmp_path)
    assert {name for name in names if name.endswith((".png", ".svg"))} == shown
    assert names - {"index.html", "handout.css"} <= linked
    assert all(alternatives)
    context.close()
