"""Automatic links to glossary terms."""

from dataclasses import replace

from generator.content.model import Term
from generator.pages.prose.render import render_text
from tests.pages.prose.prose_example import TABLE, TERMS, content, text


def html_of(body: str, terms: tuple[Term, ...] = TERMS) -> str:
    html, problems = render_text(text(body), TABLE, content(terms=terms), depth=1)
    assert problems == []
    return html


def link(slug: str, words: str) -> str:
    return f'<a class="term" href="../glossary/{slug}/">{words}</a>'


def test_only_the_first_use_is_linked() -> None:
    assert html_of("Cadence and cadence.") == f"<p>{link('cadence', 'Cadence')} and cadence.</p>"


def test_the_longest_term_wins() -> None:
    """`Rolling resistance` is one term, although `resistance` is another."""
    html = html_of("Rolling resistance, then resistance.")

    assert link("crr", "Rolling resistance") in html
    assert link("resistance", "resistance") in html


def test_an_alias_counts_as_its_term() -> None:
    assert html_of("A wheel motor is a hub motor.") == (
        f"<p>A {link('hub-motor', 'wheel motor')} is a hub motor.</p>"
    )


def test_words_may_stand_on_two_lines() -> None:
    assert link("hub-motor", "hub\nmotor") in html_of("A hub\nmotor")


def test_only_whole_words_are_linked() -> None:
    assert "glossary" not in html_of("Cadences, pre-cadence, cadence-based, hub motors.")


def test_headings_links_code_and_tables_are_left_alone() -> None:
    html = html_of(
        "## Cadence\n\n[cadence](../x/) `cadence`\n\n    cadence\n\n| a |\n|---|\n| cadence |\n"
    )

    assert "glossary" not in html


def test_a_link_set_by_hand_is_enough() -> None:
    html = html_of('Cadence comes first, {{ term("cadence") }} second.')

    assert html.count("glossary/cadence") == 1
    assert html.startswith("<p>Cadence comes")


def test_everyday_words_can_be_left_out() -> None:
    terms = tuple(replace(term, link=term.slug != "cadence") for term in TERMS)

    assert "glossary" not in html_of("Cadence.", terms)


def test_a_term_does_not_link_to_itself() -> None:
    own = replace(TERMS[2], body="Cadence and hub motor.\n")
    html, problems = render_text(own, TABLE, content(), depth=2)

    assert problems == []
    assert "glossary/cadence/" not in html
    assert "glossary/hub-motor/" in html


def test_names_of_terms_are_escaped() -> None:
    """Names are escaped in HTML and in the search pattern: `a.b*` matches only itself."""
    terms = (replace(TERMS[0], title="Grip & <slip>", aliases=("a.b*",)),)

    assert "glossary" not in html_of("aXbbb", terms)
    assert "<slip>" not in html_of('{{ term("crr") }}', terms)
    assert link("crr", "grip &amp; &lt;slip&gt;") in html_of('{{ term("crr") }}', terms)
