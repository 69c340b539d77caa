"""A glossary outlives the bikes that it was shown on."""

from dataclasses import replace

from generator.pages.prose import render as prose_render
from generator.pages.prose.examples import bikes_named, without_lost_bikes
from tests.figures import demo

BODY = """First words.

It is {{ figure("no-such", "range.rolling") }} there.

{{ table(["oskelm-talli", "no-such"], ["spec.mass"]) }}

Last words, {{ bike("oskelm-talli") }}."""


def test_paragraphs_of_lost_bikes_fall():
    """What names a bike that is gone is blanked, line for line, and each is told once."""
    body, faults = without_lost_bikes(BODY, {"oskelm-talli"}.__contains__)

    assert body.count("\n") == BODY.count("\n")
    assert "no-such" not in body
    assert "Last words" in body
    assert [fault.line for fault in faults] == [3, 5]


def test_names_in_every_word_are_seen():
    assert bikes_named(
        '{{ chart("range.by_level", "a-b") }} {{ chart("price.range", "EUR") }}'
    ) == ["a-b"]


def test_whole_glossary_without_its_bikes_gives_warnings_only():
    """Somebody who clears the demo's bikes keeps the glossary: no error in any term."""
    content = demo.content()
    table = replace(demo.table(), bikes=(), figures={}, missing={})
    problems = [
        problem
        for term in content.terms
        for problem in prose_render.render(term, table, content, depth=2)[1]
    ]

    assert problems
    assert {problem.severity for problem in problems} == {"warning"}
