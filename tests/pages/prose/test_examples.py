"""Glossary terms whose example bikes are gone."""

from dataclasses import replace

from generator.pages.prose import render as prose_render
from generator.pages.prose.examples import find_named_bikes, remove_lost_bikes
from tests.figures import demo

BODY = """First words.

It is {{ figure("no-such", "range.rolling") }} there.

{{ table(["oskelm-talli", "no-such"], ["spec.mass"]) }}

Last words, {{ bike("oskelm-talli") }}."""


def test_paragraphs_of_lost_bikes_fall():
    """Paragraphs that name a missing bike are blanked, lines keep their numbers, and each bike gives one fault."""
    body, faults = remove_lost_bikes(BODY, {"oskelm-talli"}.__contains__)

    assert body.count("\n") == BODY.count("\n")
    assert "no-such" not in body
    assert "Last words" in body
    assert [fault.line for fault in faults] == [3, 5]


def test_names_in_every_word_are_seen():
    assert find_named_bikes(
        '{{ chart("range.by_level", "a-b") }} {{ chart("price.range", "EUR") }}'
    ) == ["a-b"]


def test_whole_glossary_without_its_bikes_gives_warnings_only():
    """Without any of the demo's bikes, no glossary term has an error."""
    content = demo.content()
    table = replace(demo.table(), bikes=(), figures={}, missing={})
    problems = [
        problem
        for term in content.terms
        for problem in prose_render.render_text(term, table, content, depth=2)[1]
    ]

    assert problems
    assert {problem.severity for problem in problems} == {"warning"}
