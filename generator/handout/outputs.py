"""Every file of a handout, in an order that never changes.

* outputs    from a subject to its files
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from generator.charts import embed
from generator.handout import sayings
from generator.handout.describe import description
from generator.handout.pictures import Picture, Pictures
from generator.handout.subject import Subject
from generator.handout.test_day import METHOD, TestDay, test_day
from generator.pages.frame import templates
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer, environment

SHELVES = (
    ("Stills, wide", "wide", "-wide.png"),
    ("Stills, tall", "tall", "-tall.png"),
    ("Cards and code", "card", ""),
)
"""Heading, form and ending of the pictures of the contact sheet."""


def outputs(
    renderer: Renderer, subject: Subject, convert: embed.Convert = embed.convert
) -> Iterator[Output]:
    """All files. Problems in the texts are kept by the press: look at them when all is made."""
    pages = environment(renderer.root)

    def page(name: str, **values: Any) -> Output:
        with templates.as_problem(renderer.root):
            html = pages.get_template(f"handout/{name}").render(
                site=renderer.settings, subject=subject, **values
            )
        return Output(name, html.encode())

    described = description(renderer, subject)
    said = sayings.groups(renderer, subject)
    sheets = [
        ("description.txt", "the text beneath a video or a post"),
        ("speak.html", "numbers to say aloud, for the screen"),
        ("speak.txt", "the same as plain text"),
    ]
    yield Output("description.txt", described.encode())
    yield Output("speak.txt", sayings.as_text(subject, said).encode())
    yield page("speak.html", groups=said)
    if subject.sort == "bike":
        day = test_day(renderer, subject.bikes[0])
        yield page(
            "test-day.html",
            bike=subject.bikes[0],
            day=day,
            blanks=_blanks(day),
            method=METHOD,
        )
        yield Output("test-day.yaml", day.lines().encode())
        sheets += [
            ("test-day.html", "what to measure on a test day, one page to print"),
            ("test-day.yaml", "the lines for the bike's file, with blanks"),
        ]
    pictures = []
    for picture in Pictures(renderer, subject, convert).all():
        yield Output(picture.name, picture.data)
        pictures.append(picture)
    yield page("index.html", sheets=sheets, description=described, shelves=list(_shelves(pictures)))
    yield Output("handout.css", _style(renderer.root))


def _style(root: Path) -> bytes:
    """The publication's own before ours."""
    own = templates.text_of(root, "handout/handout.css")
    return (
        own.encode()
        if own is not None
        else (templates.TEMPLATES / "handout" / "handout.css").read_bytes()
    )


def _blanks(day: TestDay) -> list[tuple[str, str]]:
    """What is noted once for the whole day, and its unit."""
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


def _shelves(pictures: list[Picture]) -> Iterator[tuple[str, str, list[Picture]]]:
    placed: set[str] = set()
    for title, form, ending in SHELVES:
        found = [
            each for each in pictures if each.name.endswith(ending) and each.name not in placed
        ]
        placed |= {each.name for each in found}
        if found:
            yield title, form, found
