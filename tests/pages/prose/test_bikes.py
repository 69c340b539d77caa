"""The words `bikes` and `count`: which bikes they print and how, and the faults when they are used wrongly."""

import pytest
from selectolax.lexbor import LexborHTMLParser

from generator.pages.prose import render as prose_render
from tests.figures import demo
from tests.pages.prose.prose_example import text

CARGO = ["zandreth-lorn", "zandreth-kirru", "oskelm-borrut", "zandreth-moxun"]
"""Slugs in order of price, from the specs."""


def html_of(body: str) -> str:
    html, problems = prose_render.render_text(text(body), demo.table(), demo.content(), depth=2)
    assert problems == []
    return html


def linked(html: str) -> list[str]:
    found = LexborHTMLParser(html).css("a.bike")
    return [(node.attributes["href"] or "").split("/")[-2] for node in found]


def test_a_list_of_links_stands_by_price_as_every_list_does() -> None:
    html = html_of('They are:\n\n{{ bikes({"use": "cargo"}) }}\n\nEnd.\n')
    assert linked(html) == CARGO
    assert html.startswith("<p>They are:</p>\n<ul><li><a class=")
    assert html.endswith("</ul>\n<p>End.</p>")


def test_order_most_and_direction_can_be_chosen() -> None:
    words = '{{ bikes({"use": "cargo"}, order_by="spec.mass", most=2, descending=true) }}'
    assert linked(html_of(words)) == ["zandreth-moxun", "zandreth-lorn"]
    lightest = '{{ bikes(order_by="spec.mass", most=1, inline=true) }}'
    assert linked(html_of(f"The lightest is {lightest} now.")) == ["ivorrel-siskol"]


def test_a_bike_without_the_figure_comes_last() -> None:
    html = html_of('{{ bikes(order_by="spec.mass", most=30) }}')
    assert linked(html)[-1] == "gromblo-drusk"
    assert len(linked(html)) == 30


def test_figures_make_it_a_table_with_a_caption_of_the_criteria() -> None:
    html = html_of('{{ bikes({"use": "cargo"}, show=["spec.mass", "spec.price"]) }}')
    page = LexborHTMLParser(html)
    assert linked(html) == CARGO
    assert page.css_first("caption").text() == "Bikes that fit: use: cargo"
    assert [node.text() for node in page.css("thead th")] == ["Bike", "Mass", "List price"]
    assert {node.attributes["data-bike"] for node in page.css("data")} == set(CARGO)
    named = '{{ bikes({"use": "cargo"}, show=["spec.mass"], caption="Two") }}'
    assert '<caption id="t-1">Two</caption>' in html_of(named)


def test_names_can_stand_within_a_sentence() -> None:
    names = '{{ bikes({"drive": "belt", "mass": "under 27 kg"}, inline=true) }}'
    words = LexborHTMLParser(html_of(f"Here {names} have a belt.")).text()
    assert words == "Here Ivorrel Siskol and Pellimor Fenno have a belt."


def test_nobody_is_said_in_words() -> None:
    nobody = '{"mass": "under 3 kg"}'
    assert "<p>No bike in this guide fits: mass under 3\u00a0kg.</p>" in html_of(
        "{{ bikes(" + nobody + ") }}"
    )
    html = html_of("Here {{ bikes(" + nobody + ", inline=true) }}.")
    assert html == "<p>Here no bike in this guide fits (mass under 3\u00a0kg).</p>"


def test_a_count_is_a_number_and_can_steer_nothing() -> None:
    assert html_of('{{ count({"use": "cargo"}) }} of {{ count() }}') == "<p>4 of 30</p>"
    _, (problem,) = prose_render.render_text(
        text("{% if count() > 3 %}x{% endif %}"), demo.table(), demo.content(), depth=2
    )
    assert problem.severity == "error"


@pytest.mark.parametrize(
    ("call", "what", "mend"),
    [
        ('bikes({"us": "cargo"})', "us: there is no figure or field", "'use'"),
        ('bikes({"mass": "under 3"})', "has no unit", "3 kg"),
        ('bikes({"maker": "Tuspn"})', "no bike here is by", "'Tuspen'"),
        ('bikes("cargo")', "not a group in braces", "bikes({"),
        ("bikes({}, most=0)", "not a number of bikes", "1 to 60"),
        ("bikes({}, most=true)", "not a number of bikes", "1 to 60"),
        ('bikes({}, most="2")', "not a number of bikes", "1 to 60"),
        ('bikes({}, order_by="mas")', "no figure 'mas'", "'spec.mass'"),
        ("bikes({}, order_by=3)", "not a text", "quotation marks"),
        ('bikes({}, show="spec.mass")', "not a list", "show="),
        ('bikes({}, show=["spec.mas"])', "no figure 'spec.mas'", "'spec.mass'"),
        ("bikes({}, show=[" + '"spec.mass",' * 13 + "])", "too wide", "12"),
        ('bikes({}, show=["spec.mass"], inline=true)', "within a line", "`inline` out"),
        ("bikes({}, caption=3)", "not a text", "quotation marks"),
        ("bikes({}, nobody=3)", "wrong arguments", "bikes({"),
        ('count("x")', "not a group", "bikes({"),
        ("count({}, {})", "wrong arguments", "count({"),
        ('count({"use": {"a": {"b": 1}}})', "not a text", "in words"),
    ],
)
def test_what_is_wrong_is_told_with_its_line(call: str, what: str, mend: str) -> None:
    _, problems = prose_render.render_text(
        text("One.\n\n{{ " + call + " }}\n"), demo.table(), demo.content(), depth=2
    )
    assert [problem.line for problem in problems] == [7]
    assert what in problems[0].what
    assert mend in problems[0].mend


def test_a_list_within_a_line_is_misplaced() -> None:
    _, problems = prose_render.render_text(
        text('A *{{ bikes({"use": "cargo"}) }}* b.'), demo.table(), demo.content(), depth=2
    )
    assert all(problem.mend for problem in problems)
