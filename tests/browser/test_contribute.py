"""The form "Add or correct a bike" in a browser: every bike survives it, hostile words too, and a new one can be typed."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Browser, Page, expect

from generator.specs.bike import Bike
from generator.specs.problems import Problem
from generator.specs.quantity import QuantityError, check_quantity
from generator.specs.read import read_bike
from tests.browser.test_pages import accessibility_faults
from tests.browser.watching import watched
from tests.project import ROOT

pytestmark = pytest.mark.browser

PAGE = "contribute/index.html"
BIKES = sorted(path.stem for path in (ROOT / "bikes").glob("*.yaml"))

ROUND = """async slugs => {
  const found = {};
  for (const slug of slugs) {
    guide.form.fill(structuredClone(await guide.load(`bikes/${slug}/spec.js`)));
    const first = guide.form.text();
    const wrong = guide.form.problems().map(each => each.id + ': ' + each.what);
    for (const box of document.querySelectorAll('#fields :is(input, select, textarea)')) {
      box.dispatchEvent(new Event('input', {bubbles: true}));
    }
    found[slug] = [first, guide.form.text(), wrong];
  }
  return found;
}"""
"""Each bike as the form writes it, once as it was read and once after every control has written its own value."""

HOSTILE = (
    'it\'s "quoted"',
    "a: b # c",
    "# no comment",
    "- no list",
    "two\nlines\n\n  and a third ",
    "</script><b>&amp;",
    "emoji 🚲 and é",
    "*alias &anchor !tag %x @y `z`",
    "{a: [b]}, c]",
    "back\\slash \\n",
    "null",
    "true",
    "1e3",
    "2026-10-04",
    "=",
    "key:",
    "nbsp\u00a0sep\u2028end",
    "tab\there",
    "? what",
    "| x",
)


def opened(page: Page, url: str) -> None:
    page.goto(url)
    page.locator("form[data-ready]").wait_for()


def read(folder: Path, slug: str, text: str) -> tuple[Bike | None, list[Problem]]:
    """What the reader makes of a file with this text."""
    (folder / "bikes").mkdir(exist_ok=True)
    path = folder / "bikes" / f"{slug}.yaml"
    path.write_text(text, "utf-8")
    return read_bike(path, folder)


def plain(bike: Bike | None) -> Bike:
    assert bike
    return replace(bike, digest="")


def test_every_bike_survives_the_form(browser: Browser, address: str, tmp_path: Path) -> None:
    """Loaded and written again, a file passes `vet` with no new warning and is the same bike."""
    with watched(browser) as seen:
        opened(seen.page, address + PAGE)
        written = seen.page.evaluate(ROUND, BIKES)
        assert not seen.complaints

    assert len(written) == len(BIKES) >= 30
    for slug, (first, again, wrong) in written.items():
        before, warned = read_bike(ROOT / "bikes" / f"{slug}.yaml", ROOT)
        after, problems = read(tmp_path, slug, first)
        assert plain(after) == plain(before), slug
        assert len(problems) <= len(warned), (slug, problems)
        assert {each.what for each in problems} <= {each.what for each in warned}, slug
        assert again == first, slug
        assert not wrong, slug
        assert first.startswith("# yaml-language-server: $schema=bike.schema.json\nname: ")


def test_hostile_words_and_unknown_keys(browser: Browser, address: str, tmp_path: Path) -> None:
    """Whatever a text holds comes back as it was; a key that the form does not know is kept."""
    with watched(browser) as seen:
        opened(seen.page, address + PAGE)
        for words in HOSTILE:
            text = seen.page.evaluate(
                """async words => {
                  const bike = structuredClone(await guide.load('bikes/pellimor-fenno/spec.js'));
                  Object.assign(bike, {name: words, summary: words, sizes: [words, 'M']});
                  bike.assist.levels[0].name = words;
                  bike.sources[0][1].title = words;
                  bike.cargo.push([words, '5 kg']);
                  guide.form.fill(bike);
                  return guide.form.text();
                }""",
                words,
            )
            bike, problems = read(tmp_path, "hostile", text)
            assert bike, (words, text, problems)
            kept = [bike.name, bike.sizes[0], bike.assist.levels[0].name, bike.sources[0].title]
            assert {" ".join(each.split()) for each in kept} == {" ".join(words.split())}, text
            assert bike.cargo[-1][0] == words.replace("\u2028", " ")
        text = seen.page.evaluate(
            "guide.form.fill({maker: 'Oskelm', novel: {a: [1, {b: 'x: y'}], c: true}}), guide.form.text()"
        )
        assert not seen.complaints
    assert 'novel:\n  a:\n    - 1\n    - b: "x: y"\n  c: true\n' in text


WRONG: tuple[tuple[dict[str, Any], str], ...] = tuple(
    ({"dimension": dimension, "min": low, "max": high}, words)
    for dimension, low, high, words in (
        ("mass", "5 kg", "150 kg", "26,1 kg"),
        ("mass", "5 kg", "150 kg", "26"),
        ("mass", "5 kg", "150 kg", "26 km"),
        ("mass", "5 kg", "150 kg", "260 kg"),
        ("mass", "5 kg", "150 kg", "1 kg"),
        ("mass", "5 kg", "150 kg", "1,234 kg"),
        ("mass", "5 kg", "150 kg", "20-25 kg"),
        ("mass", "5 kg", "150 kg", "about 20 kg"),
        ("length", "700 mm", "2600 mm", "2225 m"),
        ("torque", "5 N·m", "160 N·m", "65 Nm"),
        ("torque", "5 N·m", "160 N·m", "48 lb-ft"),
        ("power", "50 W", "10 kW", "0.5 kW"),
        ("temperature", "-30 °C", "50 °C", "54 °F"),
        ("ratio", "1 %", "100 %", "60 %"),
        ("ratio", "0.02", "12", "1.2"),
        ("speed", "2 km/h", "60 km/h", "20 knots"),
    )
)


def test_says_what_vet_says(browser: Browser, address: str) -> None:
    """Quantities right and wrong: the words beside the field are those of the command."""
    with watched(browser) as seen:
        opened(seen.page, address + PAGE)
        theirs = seen.page.evaluate(
            """async cases => {
              const units = await guide.load('data/form.js');
              return cases.map(([quantity, words]) => guide.check.one({kind: 'quantity', quantity}, words, units, {}));
            }""",
            [list(case) for case in WRONG],
        )
    assert theirs == [verdict(*case) for case in WRONG]


def verdict(rule: dict[str, Any], words: str) -> dict[str, str] | None:
    """What the command says."""
    try:
        check_quantity(words, rule)
    except QuantityError as error:
        return {"what": error.what, "mend": error.mend}
    return None


def press_tab_to(page: Page, label: str) -> None:
    """Tab on until the control with this id has the focus."""
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == label:
            return
    raise AssertionError(label)


def test_a_bike_typed_by_keyboard(browser: Browser, address: str, tmp_path: Path) -> None:
    """A small bike by keyboard alone: a slip is named beside its field and in the summary, mended, and the file is sound."""
    with watched(browser, "phone") as seen:
        page = seen.page
        opened(page, address + PAGE)
        page.locator("#main").focus()

        def typed(field: str, words: str) -> None:
            press_tab_to(page, field)
            page.keyboard.type(words)

        typed("f-name", "Talli: new #2")
        typed("f-maker", "Oskelm")
        typed("f-year", "2026")
        typed("f-status", "on sale")
        typed("f-summary", "A bike that was typed.")
        page.keyboard.press("Tab")
        page.keyboard.press("Space")  # the first use: city
        typed("f-frame", "diamond")
        typed("f-mass", "19,5 kg")
        page.keyboard.press("Tab")
        message = page.locator("#f-mass-e")
        expect(message).to_have_text(
            "To mend: '19,5 kg' has a decimal comma. Write '19.5 kg', with a decimal point."
        )
        expect(page.locator("#status")).to_have_text("1 thing to mend, first: Mass.")
        assert page.locator("#f-mass").get_attribute("aria-invalid") == "true"
        page.keyboard.press("Shift+Tab")
        page.keyboard.press("ControlOrMeta+a")
        page.keyboard.type("19.5 kg")
        typed("f-motor-place", "rear hub")
        expect(message).to_be_empty()
        typed("f-motor-drive", "geared")
        typed("f-drivetrain-shifting", "single speed")
        typed("f-drivetrain-cogs", "18")
        typed("f-wheels-size", "47-622")
        page.locator("#f-sources > .buttons button").focus()
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "f-sources-0-0"
        page.keyboard.type("sheet")
        typed("f-sources-0-1-title", "Maker's spec sheet")
        page.locator("#check").focus()
        page.keyboard.press("Enter")
        expect(page.locator("#status")).to_have_text("1 thing to mend, first: Sources, 1, Kind.")
        press_tab_to_link(page)
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "f-sources-0-1-kind"
        page.keyboard.type("maker")
        page.locator("#save").focus()
        with page.expect_download() as saved:
            page.keyboard.press("Enter")

        assert saved.value.suggested_filename == "oskelm-talli-new-2.yaml"
        text = Path(saved.value.path()).read_text("utf-8")
        assert text == page.locator("#file").input_value()
        assert not seen.complaints
    bike, problems = read(tmp_path, "oskelm-talli-new-2", text)
    assert bike, problems
    assert (bike.name, bike.uses, bike.drivetrain.cogs) == ("Talli: new #2", ("city",), (18,))
    assert bike.mass
    assert bike.mass.text == "19.5 kg"


def press_tab_to_link(page: Page) -> None:
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('#faults') !== null")


def test_a_correction_from_the_bike_page(browser: Browser, address: str) -> None:
    """The link on a bike's page opens its file; rows can be added and taken away; an unknown bike is said to be so."""
    with watched(browser) as seen:
        page = seen.page
        page.goto(address + "bikes/oskelm-talli/index.html")
        page.get_by_role("link", name="Suggest a correction").click()
        page.locator("form[data-ready]").wait_for()
        before = page.locator("#file").input_value()

        assert page.locator("#f-name").input_value() == "Talli"
        assert page.locator("#name").inner_text() == "oskelm-talli.yaml"
        page.get_by_role("button", name="Add a level").click()
        page.keyboard.type("6")
        assert page.locator("#file").input_value().count("- name:") == before.count("- name:") + 1
        page.get_by_role("button", name="Remove level 6").click()
        assert page.locator("#file").input_value() == before
        opened(page, address + PAGE + "?bike=nobody-nothing")
        assert "There is no bike" in page.locator("#about").inner_text()


@pytest.mark.parametrize("width", ["phone", "desk"])
def test_the_form_is_accessible(browser: Browser, address: str, width: str) -> None:
    """Axe with all unfolded and messages shown; nothing off the screen at 320 px; every control has its label."""
    with watched(browser, width) as seen:
        page = seen.page
        opened(page, address + PAGE + "?bike=pellimor-fenno")
        if width == "phone":
            page.set_viewport_size({"width": 320, "height": 640})
        page.evaluate("document.querySelectorAll('main details').forEach(one => one.open = true)")
        page.locator("#f-mass").fill("26")
        page.locator("#check").click()

        assert not accessibility_faults(page)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        unlabelled = page.evaluate(
            "[...document.querySelectorAll('form :is(input, select, textarea)')].filter(one => !one.labels.length).length"
        )
        assert unlabelled == 0
        assert not seen.violations()


def test_from_disk_and_without_scripts(browser: Browser, site: Path) -> None:
    """From a folder the form works; without scripts the page names the other ways and shows no dead form."""
    url = (site / PAGE).as_uri()
    with watched(browser) as seen:
        opened(seen.page, url + "?bike=karnoot-grael")
        assert "maker: Karnoot" in seen.page.locator("#file").input_value()
        assert not seen.complaints
    with watched(browser, java_script_enabled=False) as seen:
        seen.page.goto(url)
        assert not seen.page.locator("form#bike").is_visible()
        assert "sketch" in seen.page.inner_text("main")
        target = seen.page.locator("a[href$='bike.schema.json']").first.get_attribute("href")
        assert target
        schema = json.loads((site / "contribute" / target).resolve().read_text("utf-8"))
        assert schema["title"] == "A bike's spec file"


def test_opens_in_the_repository(browser: Browser, address: str, site: Path) -> None:
    """Where the settings name a page for new files, the link carries path and text, each as one part of the address."""
    pattern = "https://git.example/new?filename={path}&amp;value={text}"
    html = (site / PAGE).read_text("utf-8")
    html = html.replace('<form id="bike"', f'<form id="bike" data-new-file="{pattern}"')
    html = html.replace(
        '<p role="status" id="done">', '<a id="open">Open</a><p role="status" id="done">'
    )
    with watched(browser) as seen:
        seen.page.route(
            "**/" + PAGE, lambda route: route.fulfill(body=html, content_type="text/html")
        )
        opened(seen.page, address + PAGE)
        seen.page.locator("#f-name").fill("A & B #1 {path}")
        href = seen.page.locator("#open").get_attribute("href")
        text = seen.page.locator("#file").input_value()

    assert href
    given = parse_qs(urlsplit(href).query)
    assert given == {"filename": ["bikes/a-b-1-path.yaml"], "value": [text]}
    assert not urlsplit(href).fragment


def test_the_form_asks_on_what_terms_a_bike_was_ridden(browser: Browser, address: str) -> None:
    """As `vet` does: needed once it was ridden or borrowed, and not for one known from its sheet only."""
    with watched(browser) as seen:
        opened(seen.page, address + PAGE)
        told = seen.page.evaluate(
            """async () => {
              const bike = structuredClone(await guide.load('bikes/pellimor-fenno/spec.js'));
              const asked = [];
              for (const ridden of [{state: 'ridden'}, {state: 'borrowed', relation: 'loaned'},
                                    {state: 'sheet only'}, {state: 'ridden', relation: 'a friend'}]) {
                guide.form.fill({...bike, ridden});
                asked.push(guide.form.problems().filter(each => each.id.includes('ridden')).map(each => each.what));
              }
              return asked;
            }"""
        )
        assert not seen.complaints
    assert told == [["this is missing"], [], [], ["'a friend' is not one of the words known here"]]
