"""Files of a handout, in a fixed order.

* render_outputs   from a subject to its files
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from generator.charts import embed
from generator.handout import sayings
from generator.handout.describe import write_description
from generator.handout.pictures import HandoutPicture, PictureMaker
from generator.handout.subject import HandoutSubject
from generator.handout.test_day import METHOD, TestDay, build_test_day
from generator.pages.frame import templates
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer, make_environment

PICTURE_GROUPS = (
    ("Stills, wide", "wide", "-wide.png"),
    ("Stills, tall", "tall", "-tall.png"),
    ("Cards and code", "card", ""),
)
"""Groups of pictures on the contact sheet: heading, CSS form, and ending of the files' names."""


def render_outputs(
    renderer: Renderer, subject: HandoutSubject, convert: embed.VegaDrawing = embed.draw_with_vega
) -> Iterator[Output]:
    """All files. Problems in the texts are kept by the press: look at them when all is made."""
    pages = make_environment(renderer.root)

    def render(name: str, **values: Any) -> Output:
        with templates.report_template_errors(renderer.root):
            html = pages.get_template(f"handout/{name}").render(
                site=renderer.settings, subject=subject, **values
            )
        return Output(name, html.encode())

    described = write_description(renderer, subject)
    said = sayings.build_groups(renderer, subject)
    sheets = [
        ("description.txt", "the text beneath a video or a post"),
        ("speak.html", "numbers to say aloud, for the screen"),
        ("speak.txt", "the same as plain text"),
    ]
    yield Output("description.txt", described.encode())
    yield Output("speak.txt", sayings.format_as_text(subject, said).encode())
    yield render("speak.html", groups=said)
    if subject.sort == "bike":
        day = build_test_day(renderer, subject.bikes[0])
        yield render(
            "test-day.html",
            bike=subject.bikes[0],
            day=day,
            blanks=_list_blanks(day),
            method=METHOD,
        )
        yield Output("test-day.yaml", day.format_lines().encode())
        sheets += [
            ("test-day.html", "what to measure on a test day, one page to print"),
            ("test-day.yaml", "the lines for the bike's file, with blanks"),
        ]
    pictures = []
    for picture in PictureMaker(renderer, subject, convert).draw_all():
        yield Output(picture.name, picture.data)
        pictures.append(picture)
    yield render(
        "index.html",
        sheets=sheets,
        description=described,
        picture_groups=list(_group_pictures(pictures)),
    )
    yield Output("handout.css", _read_style(renderer.root))


def _read_style(root: Path) -> bytes:
    """The publication's own style sheet, or else ours."""
    own = templates.read_own_template(root, "handout/handout.css")
    return (
        own.encode()
        if own is not None
        else (templates.TEMPLATES / "handout" / "handout.css").read_bytes()
    )


def _list_blanks(day: TestDay) -> list[tuple[str, str]]:
    """Label and unit of each blank at the top of the sheet, filled in once for the whole day."""
    return [
        ("Date", ""),
        ("Tester (a role)", ""),
        ("dressed, with bags", day.units["mass"]),
        ("Tyres, front", day.units["pressure"]),
        ("rear", day.units["pressure"]),
        ("Air", day.units["temperature"]),
        ("Wind", day.units["wind"]),
        ("Surface, dry or wet", ""),
        ("Battery at the start", "%"),
        ("Firmware", ""),
    ]


def _group_pictures(
    pictures: list[HandoutPicture],
) -> Iterator[tuple[str, str, list[HandoutPicture]]]:
    placed: set[str] = set()
    for title, form, ending in PICTURE_GROUPS:
        found = [
            each for each in pictures if each.name.endswith(ending) and each.name not in placed
        ]
        placed |= {each.name for each in found}
        if found:
            yield title, form, found
