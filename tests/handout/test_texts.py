"""The description and the sheet of numbers to say, against the figures table."""

import re
from dataclasses import replace

import pytest

from generator.content.texts.chapters import Chapter
from generator.figures.model import Figure
from generator.handout import sayings
from generator.handout.describe import MOST, write_description
from generator.pages.notices import cautions
from generator.pages.notices.disclosure import ENDING, SENTENCES
from tests.handout.conftest import Demo
from tests.handout.words import value_of

SUBJECTS = (
    ("hub-or-mid",),
    ("how-far-will-it-go",),
    ("pellimor-fenno",),
    ("gromblo-drusk",),
    ("oskelm-talli", "oskelm-talli-s"),
    ("pellimor-fenno", "tuspen-hebb-lt", "gromblo-drusk", "karnoot-dromm"),
)
NUMBER = r"[−-]?\d[\d\u202f ]*(?:\.\d+)?"


def plain_number(text: str) -> float:
    return float(re.sub(r"[\u202f ]", "", text).replace("−", "-"))


def shown(figure: Figure, system: str) -> float:
    unit = figure.kind.unit
    return figure.value * (unit.metric if system == "metric" else unit.us).factor


def block(text: str, title: str) -> list[str]:
    """Lines of a block of a description."""
    found = next((part for part in text.split("\n\n") if part.startswith(f"{title}\n")), "")
    return found.split("\n")[1:]


@pytest.mark.parametrize("words", SUBJECTS, ids="-".join)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_a_description_is_short_enough(demo: Demo, words: tuple[str, ...], system: str) -> None:
    """A description has at most 5,000 characters (common practice, no source), no placeholders and no blank-only lines."""
    renderer = demo.renderer(units=system)
    text = write_description(renderer, demo.subject(renderer, *words))

    assert len(text) <= MOST == 5000
    assert text.endswith("\n")
    assert not re.search(r"\{\{|\}\}|None|\bnan\b|\u00a0|\n\n\n|[ \t]\n", text)


@pytest.mark.parametrize("words", SUBJECTS, ids="-".join)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_figure_is_that_of_the_table(demo: Demo, words: tuple[str, ...], system: str) -> None:
    """Value and interval in each line are those of the table, to the digits printed."""
    renderer = demo.renderer(units=system)
    about = demo.subject(renderer, *words)
    lines = block(write_description(renderer, about), "Figures")
    lines = [line for line in lines if not line.endswith("more on the page")]

    assert lines
    for line, figure in zip(lines, about.figures, strict=False):
        assert figure.kind.title in line
        told = line.split(f"{figure.kind.title}: ")[1].removeprefix("at least ")
        value = re.match(NUMBER, told)
        assert value, line
        unit = figure.kind.unit
        scale = unit.metric if system == "metric" else unit.us
        step = 10 ** -len(value[0].partition(".")[2])
        assert plain_number(value[0]) == pytest.approx(figure.value * scale.factor, abs=0.51 * step)
        likely = re.search(rf"likely ({NUMBER})(?:–| to )({NUMBER})", told)
        if figure.low == figure.high:
            assert not likely
        elif likely:
            for edge, printed in zip((figure.low, figure.high), likely.groups(), strict=True):
                step = 10 ** -len(printed.partition(".")[2])
                assert plain_number(printed) == pytest.approx(edge * scale.factor, abs=0.51 * step)
        assert figure.basis in told


def test_what_was_paid_comes_first(demo: Demo) -> None:
    """The demo earns by a link to the Fenno: the disclosure comes first, and the link has its label."""
    renderer = demo.renderer()
    text = write_description(renderer, demo.subject(renderer, "pellimor-fenno"))

    assert text.startswith(SENTENCES["affiliate"])
    assert ENDING in text.split("\n\n")[0]
    assert "- Fenno at Quay Wheels (paid link: we earn if you buy): https://" in text
    assert any(line.startswith("- Fenno at the maker's outlet: https") for line in text.split("\n"))


def test_own_words_of_a_publication_go_before_ours(demo: Demo) -> None:
    renderer = demo.renderer(disclosure={"affiliate": "They pay for our tools."})

    assert write_description(renderer, demo.subject(renderer, "pellimor-fenno")).startswith(
        "They pay for our tools."
    )


def test_nothing_to_disclose_says_nothing(demo: Demo) -> None:
    renderer = demo.renderer()
    about = demo.subject(renderer, "gromblo-drusk")

    assert write_description(renderer, about).startswith("Gromblo Drusk\n")
    assert "Say first" not in sayings.format_as_text(about, sayings.build_groups(renderer, about))


def test_a_bike_that_was_lent(demo: Demo) -> None:
    """The demo's Moxun was lent by its maker or a seller, which is said first."""
    renderer = demo.renderer()
    about = demo.subject(renderer, "zandreth-moxun")
    words = "Zandreth Moxun: Its maker or a seller lent us this bike."

    assert words in write_description(renderer, about).split("\n\n")[0]
    said = sayings.format_as_text(about, sayings.build_groups(renderer, about))
    assert words in said.split("\nZandreth Moxun\n")[0]


def test_corrections_sources_and_cautions(demo: Demo) -> None:
    """The Fenno's description has its correction: its battery was first given as 15 Ah."""
    renderer = demo.renderer()
    text = write_description(renderer, demo.subject(renderer, "pellimor-fenno"))

    (correction,) = block(text, "Corrected since")
    assert "battery charge: 14 Ah, not 15 Ah as first given" in correction
    assert "5 October 2026" in correction
    assert any(
        "seen 4 October 2026 https://pellimor.example/fenno" in line
        for line in block(text, "Sources")
    )
    told = " ".join(block(text, "Cautions"))
    for words in (
        cautions.LOCAL_LAW,
        cautions.BATTERY,
        cautions.HILLS,
        cautions.UNALTERED,
        cautions.QUICK_START,
    ):
        assert words in told
    assert cautions.FAST not in told
    assert renderer.settings.notice in text


def test_a_fast_bike_has_the_caution_for_speed(demo: Demo) -> None:
    """A bike with help beyond 40 km/h has the caution for speed."""
    fast = next(
        bike
        for bike in demo.table.bikes
        if bike.motor.assisted_speed and bike.motor.assisted_speed.value > 40 / 3.6
    )
    renderer = demo.renderer()

    assert cautions.FAST in write_description(renderer, demo.subject(renderer, fast.slug))


def test_chapters_stand_with_their_times(demo: Demo) -> None:
    """A guide with chapters lists those that have times, in order; one without lists all sections."""
    renderer = demo.renderer()
    about = demo.subject(renderer, "hub-or-mid")
    assert about.text
    timed = replace(about.text, chapters=(Chapter("Hub or mid?", 0), Chapter("The slow hill", 165)))

    bare = replace(about, text=replace(about.text, chapters=()))

    without = block(write_description(renderer, bare), "In this guide")
    chapters = block(write_description(renderer, replace(about, text=timed)), "Chapters")

    assert without == [f"- {section}" for section in about.sections]
    assert chapters == ["0:00 Hub or mid?", "2:45 The slow hill"]
    assert block(write_description(renderer, about), "Chapters")[0] == "0:00 Hub or mid?"


def test_a_long_description_says_what_it_leaves_out(demo: Demo) -> None:
    """Figures and sources are cut first; disclosure, chapters and cautions stay whole."""
    renderer = demo.renderer()
    about = demo.subject(renderer, "hub-or-mid")
    text = write_description(renderer, replace(about, figures=about.figures * 4))

    assert re.search(r"- and \d+ more on the page", text)
    assert cautions.LOCAL_LAW in text
    assert SENTENCES["affiliate"] in text
    assert len(text) <= MOST


@pytest.mark.parametrize("words", SUBJECTS, ids="-".join)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_what_is_said_is_in_the_table(demo: Demo, words: tuple[str, ...], system: str) -> None:
    """The words, read back as a number by independent code, are the figure as far as two digits can say.

    Half a step of the second digit is at most 5 %; the page's own rounding comes on top.
    """
    renderer = demo.renderer(
        units=system, language="en-US"
    )  # whose numbers have no `and` of their own
    found = sayings.build_groups(renderer, demo.subject(renderer, *words))

    assert found
    for saying in (each for group in found for each in group.sayings):
        value, _, interval = saying.say.partition("; ")
        figure = saying.figure
        heard, meant = [value_of(value)], [shown(figure, system)]
        if interval:
            heard += _ends(interval)
            meant += [
                shown(replace(figure, value=edge), system) for edge in (figure.low, figure.high)
            ]
        assert heard == pytest.approx(meant, rel=0.11, abs=0.051), saying


def _ends(interval: str) -> list[float]:
    low, high = interval.removeprefix("between ").split(" and ")
    unit = high.split()[-1]
    return [value_of(f"{low} {unit}" if unit.startswith("cent") else low), value_of(high)]
