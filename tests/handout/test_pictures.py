"""Stills, cards and codes: their sizes, margins and words, and codes that a decoder reads back.

The decoder is zxing-cpp, independent of the library that makes the codes; Pillow opens, shrinks and spoils the pictures.
"""

import io
import re
from dataclasses import replace

import numpy as np
import pytest
import zxingcpp
from PIL import Image

from generator.charts import embed
from generator.handout.codes import LEAST, QUIET, make_code, shorten_address
from generator.handout.paper import (
    LANDSCAPE,
    PORTRAIT,
    SMALLEST,
    StillCanvas,
    TextStyle,
    draw,
    fit_lines,
)
from generator.handout.pictures import HandoutPicture, PictureMaker
from generator.handout.stills import break_address, draw_chart_still
from generator.pages.frame import site_colours
from generator.pages.pictures import lettering
from tests.handout.conftest import Demo
from tests.project import ROOT

SUBJECTS = {
    "bike": ("pellimor-fenno",),
    "many levels": ("tuspen-hebb-lt",),
    "hardly known": ("gromblo-drusk",),
    "guide": ("hub-or-mid",),
    "diagrams": ("how-the-motor-knows",),
    "pair": ("oskelm-talli", "oskelm-talli-s"),
    "four": ("pellimor-fenno", "tuspen-hebb-lt", "gromblo-drusk", "ivorrel-siskol-g"),
}
SIZES = {
    "-wide.png": (1920, 1080),
    "-tall.png": (1080, 1920),
    "card.png": (1200, 630),
    "card-square.png": (1080, 1080),
}


def pictures(demo: Demo, *words: str, **settings: object) -> dict[str, HandoutPicture]:
    renderer = demo.renderer(**settings)
    made = PictureMaker(renderer, demo.subject(renderer, *words), embed.draw_with_vega).draw_all()
    return {picture.name: picture for picture in made}


@pytest.fixture(scope="module")
def made(demo: Demo) -> dict[str, dict[str, HandoutPicture]]:
    return {name: pictures(demo, *words) for name, words in SUBJECTS.items()}


def opened(picture: HandoutPicture) -> Image.Image:
    return Image.open(io.BytesIO(picture.data)).convert("RGB")


def decoded(picture: Image.Image) -> list[str]:
    return [found.text for found in zxingcpp.read_barcodes(np.asarray(picture))]


@pytest.mark.parametrize("name", SUBJECTS)
def test_sizes(made: dict[str, dict[str, HandoutPicture]], name: str) -> None:
    """Pictures have the size that their names say and that the contact sheet states."""
    for picture in made[name].values():
        if picture.name.endswith(".svg"):
            continue
        across, down = opened(picture).size
        assert (across, down) == (picture.across, picture.down)
        wanted = next((size for end, size in SIZES.items() if picture.name.endswith(end)), None)
        assert wanted in ((across, down), None)


@pytest.mark.parametrize("name", SUBJECTS)
def test_nothing_stands_in_the_margins(
    made: dict[str, dict[str, HandoutPicture]], name: str
) -> None:
    """5 % on every side are one colour, outside the area that television calls safe (EBU R 95, from memory)."""
    for picture in made[name].values():
        if not picture.name.startswith("still-"):
            continue
        pixels = np.asarray(opened(picture))
        across, down = round(picture.across * 0.05), round(picture.down * 0.05)
        for edge in (pixels[:down], pixels[-down:], pixels[:, :across], pixels[:, -across:]):
            assert (edge == pixels[0, 0]).all(), picture.name


@pytest.mark.parametrize("name", SUBJECTS)
def test_what_every_still_says(
    made: dict[str, dict[str, HandoutPicture]], name: str, demo: Demo
) -> None:
    """Every still has the publication's name and notice, and nothing is cut short."""
    settings = demo.publication.content.settings
    for picture in made[name].values():
        if picture.name.startswith("still-"):
            words = " ".join(picture.words).replace("\u00a0", " ")
            assert settings.title in words
            assert settings.notice in words
            assert "…" not in words, picture.name


def test_which_stills_there_are(made: dict[str, dict[str, HandoutPicture]]) -> None:
    """There are stills of numbers, code and each chart in both shapes, and in a comparison of each main figure."""
    bike, pair, guide = made["bike"], made["pair"], made["guide"]

    for shape in ("wide", "tall"):
        assert f"still-numbers-{shape}.png" in bike
        assert f"still-code-{shape}.png" in guide
        assert f"still-range-rolling-{shape}.png" in pair
        assert f"still-diagram-take-up-pellimor-fenno-{shape}.png" in guide
    charts = {name for name in bike if name.startswith("still-chart-")}
    assert len(charts) == 2 * 5


@pytest.mark.parametrize("name", SUBJECTS)
@pytest.mark.parametrize("shape", ["wide", "tall"])
def test_the_code_is_read_back(
    made: dict[str, dict[str, HandoutPicture]], name: str, shape: str, demo: Demo
) -> None:
    """The code is read from the still as it is, at half its size, after hard JPEG compression, and after both."""
    whole = opened(made[name][f"still-code-{shape}.png"])
    half = whole.resize((whole.width // 2, whole.height // 2), Image.Resampling.BILINEAR)
    address = demo.subject(demo.renderer(), *SUBJECTS[name]).address

    for picture in (whole, half, compressed(whole, 30), compressed(half, 50)):
        assert decoded(picture) == [address]


def compressed(picture: Image.Image, quality: int) -> Image.Image:
    """The picture after JPEG compression."""
    held = io.BytesIO()
    picture.save(held, "JPEG", quality=quality)
    return Image.open(held).convert("RGB")


@pytest.mark.parametrize("name", SUBJECTS)
def test_the_code_alone_is_read_back(
    made: dict[str, dict[str, HandoutPicture]], name: str, demo: Demo
) -> None:
    """The code is read from its PNG, and from its SVG drawn by an independent program at another size."""
    address = demo.subject(demo.renderer(), *SUBJECTS[name]).address
    drawing = made[name]["code.svg"].data.decode()
    drawn = Image.open(io.BytesIO(draw(drawing))).convert("RGB")

    assert decoded(opened(made[name]["code.png"])) == [address]
    assert decoded(drawn) == [address]
    assert 'shape-rendering="crispEdges"' in drawing


def test_the_quiet_zone_and_the_modules(made: dict[str, dict[str, HandoutPicture]]) -> None:
    """The code is dark on light in whole pixels, with four light modules on every side (ISO/IEC 18004:2015, from memory)."""
    picture = made["bike"]["code.png"]
    pixels = np.asarray(opened(picture))[:, :, 0]
    code = make_code("https://ellimar-pedal.example/guide/bikes/pellimor-fenno/")
    module = picture.across // code.side
    dark = np.argwhere(pixels < 128)

    assert picture.across == module * code.side
    assert module >= LEAST == 6
    assert QUIET == 4
    assert dark.min() == 4 * module
    assert dark.max() == picture.across - 4 * module - 1
    assert set(np.unique(pixels)) == {0, 255}
    cells = pixels.reshape(code.side, module, code.side, module)
    assert (cells == cells[:, :1, :, :1]).all()


def test_the_level_of_correction() -> None:
    """The decoder reports M or Q, which it reads from the code's format bits."""
    from generator.handout.paper import PictureSize

    canvas = StillCanvas(PictureSize(600, 600), site_colours.read_schemes(ROOT)[0])
    canvas.shapes.append(make_code("https://book.example/a/").draw_group(20, 20, 12))
    picture = Image.open(io.BytesIO(canvas.to_png())).convert("RGB")
    (found,) = zxingcpp.read_barcodes(np.asarray(picture))

    assert found.ec_level in ("M", "Q")


@pytest.mark.parametrize(
    "address",
    [
        "https://book.example/" + "a" * 200 + "/",
        "https://book.example/ä/ö?bikes=ß,x",
        "https://b.example/",
    ],
)
def test_any_address_is_read_back(address: str) -> None:
    code = make_code(address)
    module = code.fit_module(900)
    from generator.handout.paper import PictureSize

    canvas = StillCanvas(PictureSize(1000, 1000), site_colours.read_schemes(ROOT)[0])
    canvas.shapes.append(code.draw_group(20, 20, module))

    assert decoded(Image.open(io.BytesIO(canvas.to_png())).convert("RGB")) == [address]


def test_the_address_is_printed_whole() -> None:
    """The address is printed without its scheme, in lines that fit, with nothing lost."""
    address = "https://book.example/guide/compare/?bikes=invor-alpa,invor-beta," + "x" * 90
    lines = break_address(shorten_address(address), 400)

    assert "".join(lines) == address.removeprefix("https://")
    assert all(lettering.measure_width(line, 36, "plain") <= 400 for line in lines)


@pytest.mark.parametrize("words", ["W" * 90, "Long " * 60, "Žluťoučký 電動自転車 <b>&", ""])
@pytest.mark.parametrize("name", ["bike", "pair"])
def test_unusual_names_stay_inside(demo: Demo, name: str, words: str) -> None:
    """No name reaches the margins: not one long word, not a very long name, not other scripts."""
    bikes = tuple(
        replace(bike, name=words or "X", maker="") if bike.slug in SUBJECTS[name] else bike
        for bike in demo.table.bikes
    )
    changed = Demo(demo.publication, replace(demo.table, bikes=bikes))
    found = pictures(changed, *SUBJECTS[name], title=words or "X", notice=words * 3)

    for picture in found.values():
        if picture.name.startswith("still-"):
            pixels = np.asarray(opened(picture))
            across, down = round(picture.across * 0.05), round(picture.down * 0.05)
            for edge in (pixels[:down], pixels[-down:], pixels[:, :across], pixels[:, -across:]):
                assert (edge == pixels[0, 0]).all(), picture.name


@pytest.mark.parametrize("words", ["tuspen-hebb-lt", "how-the-motor-knows", "what-the-levels-do"])
def test_no_type_is_too_small(demo: Demo, words: str) -> None:
    """Words are at least 32 px in every still, also those of charts and diagrams at their scale."""
    renderer = demo.renderer()
    maker = PictureMaker(renderer, demo.subject(renderer, words), embed.draw_with_vega)
    sizes: list[float] = []
    for size in (LANDSCAPE, PORTRAIT):
        for name, drawing, condition in maker._list_drawings(size):
            drawn = draw_chart_still(maker._frame, size, name, drawing, condition).to_svg()
            (scale,) = re.findall(r'scale\(([\d.]+)\)"? font-family', drawn)
            assert not re.search(r'font-size="(?!13.5)', drawing.svg)
            sizes += [13.5 * float(scale)]
            sizes += [
                float(found)
                for found in re.findall(r'font-size="([\d.]+)" fill="[^"]*">[^<]', drawn)
            ]

    assert len(sizes) > 20
    assert min(sizes) >= SMALLEST == 32


def test_fewer_bars_are_said_to_be_fewer(demo: Demo) -> None:
    """For a bike with more levels than fit, a still shows the first, the last and some others, and says so."""
    found = pictures(demo, "tuspen-hebb-lt")
    words = " ".join(found["still-chart-range-by-level-tuspen-hebb-lt-wide.png"].words)

    assert re.search(r"Shown are \d of \d levels", words.replace("\u00a0", " "))


def test_twice_the_same(demo: Demo, made: dict[str, dict[str, HandoutPicture]]) -> None:
    again = pictures(demo, *SUBJECTS["pair"])

    assert {name: picture.data for name, picture in again.items()} == {
        name: picture.data for name, picture in made["pair"].items()
    }


def test_a_number_keeps_its_unit() -> None:
    """No line ends between a number and its unit."""
    from generator.handout.paper import Box

    canvas = StillCanvas(LANDSCAPE, site_colours.read_schemes(ROOT)[0])
    for across in range(200, 600, 20):
        canvas.set_block(
            "It goes about 162 km in 12 min at 20 % grade",
            Box(0, 0, across, 900),
            TextStyle((32,), 20),
        )
    lines = [line for line in canvas.words if not line.endswith("…")]

    assert not [line for line in lines if re.search(r"\d$", line)]
    assert fit_lines("a", Box(0, 0, 9, 9), TextStyle((32,), 1))[0]


def test_numbers_of_a_still_are_those_of_the_table(
    demo: Demo, made: dict[str, dict[str, HandoutPicture]]
) -> None:
    """The values in large type are the first figures of the subject, as the site shows them."""
    from generator.figures import show

    renderer = demo.renderer()
    about = demo.subject(renderer, "pellimor-fenno")
    words = made["bike"]["still-numbers-wide.png"].words

    for figure in about.figures[:4]:
        assert show.format_figure(figure, "metric") in words
        likely = show.format_interval(figure, "metric")
        assert not likely or any(likely in line and figure.basis in line for line in words)
