"""The test-day sheet: its lines pass `vet` once filled, and it prints on one page for every bike of the demo."""

import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from generator.figures import show
from generator.handout import outputs as made
from generator.handout.pictures import PictureMaker
from generator.handout.test_day import BLANK, DAY, ROUTES, TestDay, build_test_day
from generator.pages.frame.renderer import Renderer
from generator.pages.notices import cautions
from generator.publish.vet.check import check_publication
from generator.specs.read import read_bike
from tests.browser.test_html import errors
from tests.browser.test_pages import accessibility_faults
from tests.handout.conftest import Demo
from tests.project import ROOT

TestDay.__test__ = False  # type: ignore[attr-defined]
build_test_day.__test__ = False  # type: ignore[attr-defined]
ASKED = ("mass", "rollout", "top assisted speed", "take-up angle", "hill time", "braking distance")
"""Tests in the order in which they are done."""
FILLED = {
    "kg": "26.8", "mm": "2218", "km/h": "24.8", "°": "31", "s": "116", "m": "5.1", "km": "30.3",
    "Wh": "241", "°C": "9", "m/s": "3", "lb": "59", "in": "87.4", "mph": "15.2", "ft": "17",
    "mi": "18.9", "°F": "48",
}  # fmt: skip
"""A plausible result by the unit of its line."""

OWN = ".testday * { letter-spacing: normal; }"
"""Letters as the sheet sets them."""
WIDE = '.testday * { font-family: "DejaVu Sans", Verdana, sans-serif; letter-spacing: 0.04em; }'
"""The widest of the common fonts, and room between its letters."""
SMALLEST = 12
"""Type in CSS pixels, which is 9 pt."""


def sheet(renderer: Renderer, slug: str) -> TestDay:
    bike = renderer.table.bike(slug)
    assert bike is not None
    return build_test_day(renderer, bike)


def filled(lines: str) -> str:
    """The lines with every blank filled, as a tester would."""
    lines = re.sub(rf'"{BLANK} ([^",]+)"', lambda found: f'"{FILLED[found[1]]} {found[1]}"', lines)
    return lines.replace(DAY, "2026-11-20").replace(BLANK, "11")


def without_lists(spec: str) -> str:
    """A spec file without its own tests and rides."""
    return re.sub(r"^(?:tests|rides):.*\n(?:[ #].*\n)*", "", spec, flags=re.MULTILINE)


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_lines_pass_vet_once_filled(demo: Demo, tmp_path: Path, system: str) -> None:
    """For every bike without tests, the filled lines in its spec file pass `vet`, and the values read are those filled in."""
    renderer = demo.renderer(units=system)
    shutil.copytree(ROOT / "content", tmp_path / "content")
    shutil.copytree(ROOT / "bikes", tmp_path / "bikes")
    lines = 0
    for bike in demo.table.bikes:
        bare = replace(bike, tests=(), rides=())
        words = filled(build_test_day(renderer, bare).format_lines())
        assert BLANK not in words
        path = tmp_path / "bikes" / f"{bike.slug}.yaml"
        path.write_text(without_lists(path.read_text("utf-8")) + words, "utf-8")

        problems = [
            each for each in check_publication(tmp_path, [path]) if each.severity == "error"
        ]
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
    path.write_text(
        spec + build_test_day(renderer, replace(bike, tests=(), rides=())).format_lines(), "utf-8"
    )

    assert [each for each in check_publication(tmp_path, [path]) if each.severity == "error"]


def test_a_file_that_has_lists_is_added_to(demo: Demo) -> None:
    """If the file has `tests:` already, a second one would repeat the key: the sheet says where the lines go instead."""
    lines = sheet(demo.renderer(), "pellimor-fenno").format_lines()

    assert "tests:\n" not in lines.replace("`tests:`", "")
    assert "# beneath `tests:`, which the file has already\n  - {what: mass" in lines


def test_what_to_expect(demo: Demo) -> None:
    """The sheet expects claims, named as such, and computed figures with their interval as on the site; for brakes nothing."""
    renderer = demo.renderer()
    figures = demo.table.figures["oskelm-talli"]
    day = sheet(renderer, "oskelm-talli")
    expected = {test.what: "; ".join(test.expect) for test in day.tests}
    clean = {what: words.replace("\u2060", "") for what, words in expected.items()}

    assert clean["mass"].startswith("claimed: ")
    assert show.format_figure(figures["spec.mass"], "metric") in clean["mass"]
    assert show.format_figure(figures["assist.take_up_angle"], "metric") in clean["take-up angle"]
    assert show.format_interval(figures["hills.speed_10"], "metric") in clean["hill time"]
    assert not re.search(r"\d", clean["braking distance"])
    for ride, route in zip(day.rides, ("rolling", "flat", "hilly"), strict=True):
        words = "; ".join(ride.expect).replace("\u2060", "")
        assert show.format_figure(figures[f"energy.{route}"], "metric") in words
        assert f"route: {route}," in ride.line


def test_cautions_stand_on_every_sheet(demo: Demo) -> None:
    """Every sheet warns of traffic, helmet, brakes, law and battery; of speed if the bike is fast."""
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
    """A4, for all bikes of the demo, and for one with a long name; nothing is wider than the paper, or too small to read.

    So it is with the fonts of this machine, and with letters that are wider than those of any common font.
    """
    for page in pages_of_sheets(demo, browser, tmp_path, system, monkeypatch):
        for style in (OWN, WIDE):
            page.add_style_tag(content=style)
            pdf = page.pdf(prefer_css_page_size=True)
            assert printed_pages(pdf) == 1, (page.url, style)
            assert re.search(rb"MediaBox \[0 0 594\.9\d* 841\.9\d*\]", pdf), (
                "A4 is 595 by 842 pt (ISO 216)"
            )
            page.emulate_media(media="print")
            assert page.evaluate("document.documentElement.scrollWidth") <= 718, (page.url, style)
            assert page.evaluate(TYPE_SIZE) >= SMALLEST, page.url
            page.emulate_media(media="null")


@pytest.mark.browser
def test_room_for_every_route(
    demo: Demo, browser: Browser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As many rides as the sheet takes still leave it on one page, with a note of some height."""
    for page in pages_of_sheets(demo, browser, tmp_path, "us", monkeypatch):
        page.add_style_tag(content=WIDE.split(";")[0] + "; }")
        page.evaluate(
            """routes => {
                const rides = document.querySelector('.testday__rides tbody');
                while (rides && rides.rows.length < routes)
                    rides.append(rides.rows[0].cloneNode(true));
            }""",
            ROUTES,
        )
        page.emulate_media(media="print")
        assert page.evaluate("document.querySelector('.testday__note').offsetHeight") > 50
        page.emulate_media(media="null")

        assert printed_pages(page.pdf(prefer_css_page_size=True)) == 1, page.url


TYPE_SIZE = """Math.min(...[...document.querySelectorAll('main *')].map(
    one => parseFloat(getComputedStyle(one).fontSize)))"""


def printed_pages(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


def pages_of_sheets(
    demo: Demo, browser: Browser, folder: Path, system: str, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Page]:
    """The sheet of each bike of the demo, the last of them with a long name."""
    monkeypatch.setattr(PictureMaker, "draw_all", lambda self: iter(()))
    long = [
        replace(bike, name="Long-Tailed Cargo Carrier Touring Edition Nine")
        for bike in demo.table.bikes[-1:]
    ]
    page = browser.new_page(viewport={"width": 718, "height": 1000})
    for bikes in (demo.table.bikes[:-1], long):
        some = Demo(demo.publication, replace(demo.table, bikes=tuple(bikes)))
        renderer = some.renderer(units=system)
        for bike in bikes:
            place = folder / bike.slug
            place.mkdir(exist_ok=True)
            for output in made.render_outputs(renderer, some.subject(renderer, bike.slug)):
                (place / output.path).write_bytes(output.data)
            page.goto((place / "test-day.html").as_uri())
            yield page
    page.close()


@pytest.mark.browser
def test_the_pages_are_whole(demo: Demo, browser: Browser, tmp_path: Path) -> None:
    """Pages are valid HTML that axe accepts; the contact sheet shows every picture from a disk; no script runs."""
    renderer = demo.renderer()
    names = set()
    for output in made.render_outputs(renderer, demo.subject(renderer, "pellimor-fenno")):
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
