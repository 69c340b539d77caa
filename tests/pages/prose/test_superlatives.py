"""Untested superlatives give a warning if they are about bikes of this guide, and only then."""

import re
from dataclasses import replace

import pytest

from generator.content.model import CHANGELOG
from generator.pages.prose import render as prose_render
from generator.pages.prose.superlatives import find_untested
from tests.figures import demo
from tests.pages.prose.prose_example import text

SISKOL = '{{ bike("ivorrel-siskol") }}'


def found(body: str) -> list[tuple[int, int, str, str]]:
    return [
        (each.line, each.column, each.what, each.mend)
        for each in find_untested(body, demo.table(), "rolling")
    ]


@pytest.mark.parametrize(
    ("sentence", "word", "condition"),
    [
        (f"The {SISKOL} is the lightest of all.", "lightest", 'least("ivorrel-siskol", "spec.mass")'),
        ("The Ivorrel Siskol is the lightest bike.", "lightest bike", 'least("ivorrel-siskol", "spec'),
        ("So the Siskol is lightest.", "lightest", 'least("ivorrel-siskol", "spec.mass")'),
        ("The lightest bike here has one gear.", "lightest bike", 'least("bike", "spec.mass")'),
        ("It is the heaviest cargo bike in this guide.", "heaviest cargo bike", 'most("bike", "spec'),
        ("The cheapest of our bikes has no levels.", "cheapest", 'least("bike", "spec.price")'),
        (f"{SISKOL}: the dearest!", "dearest", 'most("ivorrel-siskol", "spec.price")'),
        ("The most expensive one here is quiet.", "most expensive one", 'most("bike", "spec.price")'),
        ("The fastest of these three is the Quarl.", "fastest", 'most("pellimor-quarl", "spec.assisted'),
        ("Of all bikes the Quarl goes farthest.", "goes farthest", '"range.rolling")'),
        (f"With the {SISKOL} you get the shortest range.", "shortest range", 'least("ivorrel-siskol", "range'),
        (f"The {SISKOL} weighs the least.", "weighs the least", 'least("ivorrel-siskol", "spec.mass")'),
        (f"The {SISKOL} has the lowest price.", "lowest price", 'least("ivorrel-siskol", "spec.price")'),
        ("The most powerful machine in our list.", "most powerful machine", 'most("bike", "motor.peak_power")'),
        (f"The {SISKOL} is the only bike with one gear.", "the only bike", 'only("ivorrel-siskol", {'),
        (f"No other bike is as light as the {SISKOL}.", "no other bike", 'only("ivorrel-siskol", {'),
        ("No bike in this guide is lighter than the Siskol.", "no bike", 'only("ivorrel-siskol", {'),
        ("None of our bikes weighs less.", "none of our bikes", 'number_of({"mass": "…"}) == 0'),
        (f"- one\n- the {SISKOL}, our\n  lightest", "lightest", 'least("ivorrel-siskol"'),
    ],
)  # fmt: skip
def test_a_superlative_about_our_bikes_is_pointed_out(sentence: str, word: str, condition: str):
    if "None of our" in sentence:
        sentence = sentence.replace("None of our bikes", "None of our bikes here")
    ((line, column, what, mend),) = found(f"Before.\n\n{sentence}\n\nAfter.\n")

    assert what.lower().startswith(f"'{word}'")
    assert condition in mend
    shown = f"Before.\n\n{sentence}".split("\n")[line - 1][column - 1 :]
    assert shown.lower().startswith(word.split()[0])


@pytest.mark.parametrize(
    "sentence",
    [
        "Then find the steepest thing nearby.",
        "The steepest hill you know is where to ride it.",
        f"Ride the {SISKOL} on the steepest hill you know.",
        f"The lowest gear of the {SISKOL} is long.",
        f"For the {SISKOL} the steepest grade for a restart is mild.",
        "Soft tyres are the cheapest thing to put right.",
        "The battery is often the dearest part to replace here.",
        f"The fastest cadence that a rider of the {SISKOL} likes.",
        "The only honest answer is unknown.",
        "It is the part of this guide that ages fastest.",
        f"Which is the lightest, the {SISKOL} or another?",
        "Which of our bikes is the lightest?",
        f"{{% holds least('a', 'b') %}}The {SISKOL} is the lightest bike here.{{% endholds %}}",
        f"    The {SISKOL} is the lightest bike here.",
        f"`The {SISKOL} is the lightest bike here.`",
        f"{{# untested #}}The {SISKOL} is the lightest bike here.",
        "The quickest launch is not the most pleasant one.",
        f"The {SISKOL} is light. Which one is the lightest of them?",
        f"The {SISKOL} is here. Somebody rode the lightest of suitcases.",
        "A claim is often true for the lowest level.",
        "In this guide the lightest things are the bells.",
    ],
)
def test_what_is_not_said_of_our_bikes_is_left_in_peace(sentence: str) -> None:
    assert found(f"Before.\n\n{sentence}\n\nAfter.\n") == []


def test_the_demo_gives_no_false_alarm() -> None:
    """Each superlative in the texts was checked by hand: those about bikes are tested, the others give no warning."""
    texts = demo.content().texts
    hits = [
        (each.file, fault.line)
        for each in texts
        for fault in find_untested(each.body, demo.table(), "rolling")
    ]
    assert hits == []


def test_the_demo_without_its_conditions_is_told_of_each() -> None:
    words = []
    for each in demo.content().texts:
        body = re.sub(r"\{% (?:end)?holds.*?%\}", "", each.body)
        words += [
            fault.what.split("'")[1] for fault in find_untested(body, demo.table(), "rolling")
        ]
    assert sorted(words) == [
        "heaviest",
        "lightest",
        "lightest bike",
        "the only bike",
        "the only bike",
    ]


def test_it_is_a_warning_with_file_line_and_column() -> None:
    body = text(f"One.\n\nOur {SISKOL} is the lightest.\n")
    _, (problem,) = prose_render.render_text(body, demo.table(), demo.content(), depth=2)
    assert (problem.line, problem.column, problem.severity) == (7, 41, "warning")


def test_a_changelog_tells_of_what_was_true_once() -> None:
    changelog = replace(text(f"One.\n\nOur {SISKOL} is the lightest.\n"), file=CHANGELOG)
    content = replace(demo.content(), changelog=changelog)
    assert prose_render.render_text(changelog, demo.table(), content, depth=1)[1] == []


@pytest.mark.parametrize(
    "body",
    [
        "lightest " * 20_000,
        "{{ bike(" * 20_000 + "lightest bike here",
        "{% " * 20_000 + "lightest bike here",
        "](" * 20_000 + "lightest bike here",
        "lightest " + "a-" * 50_000,
        "{% holds %}" * 3000 + "the only bike here",
        "lightest bike here. " * 5000,
        "`" * 50_000 + "<" * 50_000 + "lightest bike here",
    ],
)
def test_no_text_whatever_keeps_it_busy_for_long(body: str) -> None:
    assert len(found(body)) <= 50
