"""Tested sentences: kept while they hold, otherwise removed without a trace, with the reason for the writer.

The rules are this program's own; the figures that decide are read from the demo's sheets by hand.
"""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.content.releases import Release
from generator.figures.records.record import make_record
from generator.pages.prose import render as prose_render
from tests.figures import demo
from tests.pages.prose.holds_example import (
    HEAVIEST,
    LIGHTEST,
    NO_RECORDS,
    UNKNOWN,
    block,
    html_of,
    leaving_out,
    rendered,
)
from tests.pages.prose.prose_example import text


def test_a_true_sentence_stands_as_if_nothing_were_around_it() -> None:
    bare = 'First.\nThe {{ bike("ivorrel-siskol") }} is *light*.\nLast.\n'
    sentence = block(LIGHTEST, 'The {{ bike("ivorrel-siskol") }} is *light*.')
    tagged = f"First.\n{sentence}\nLast.\n"
    html, problems = rendered(tagged)

    assert problems == []
    assert html == rendered(bare)[0]


@pytest.mark.parametrize(
    ("body", "same_as"),
    [
        ("One.\n\nGONE\n\nTwo.\n", "One.\n\nTwo.\n"),
        ("One. GONE\nTwo.\n", "One. \nTwo.\n"),
        ("One.\nGONE\nTwo.\n", "One.\nTwo.\n"),
        ("GONE One.\n", "One.\n"),
        ("- one\n- GONE\n- two\n", "- one\n- two\n"),
        ("- GONE\n", ""),
        ("* one\n* GONE\n", "* one\n"),
        ("1. one\n2. GONE\n3. two\n", "1. one\n3. two\n"),
        ("> GONE\n", ""),
        ("One.\n\n## GONE\n\nTwo.\n", "One.\n\nTwo.\n"),
        ("- one GONE\n- two\n", "- one \n- two\n"),
        ("- GONE\n  runs on\n", "- \n  runs on\n"),
        ("| a | b |\n|---|---|\n| 1 | GONE |\n", "| a | b |\n|---|---|\n| 1 |  |\n"),
        ("GONE GONE\n\nTwo.\n", "Two.\n"),
    ],
)
def test_an_untrue_sentence_leaves_no_trace(body: str, same_as: str) -> None:
    gone = block(HEAVIEST, 'The {{ bike("ivorrel-siskol") }} is heavy.')

    assert html_of(body.replace("GONE", gone)) == html_of(same_as)


def test_a_block_may_hold_several_lines_and_paragraphs() -> None:
    body = "One.\n\n{% holds COND %}\nTwo,\nthree.\n\n- four\n{% endholds %}\n\nFive.\n"

    assert html_of(body.replace("COND", LIGHTEST)) == html_of(
        "One.\n\nTwo,\nthree.\n\n- four\n\nFive.\n"
    )
    assert html_of(body.replace("COND", HEAVIEST)) == html_of("One.\n\nFive.\n")


def test_blocks_may_stand_in_each_other_and_in_loops() -> None:
    inner = block(LIGHTEST, "in") + block(HEAVIEST, "not")
    assert "out in" in html_of(block(LIGHTEST, f"out {inner}"))
    assert html_of(block(HEAVIEST, f"out {inner}")) == ""
    loop = (
        '{% for slug in ["ivorrel-siskol", "zandreth-moxun"] %}\n'
        '- {% holds least(slug, "mass") %}light {{ bike(slug) }}{% endholds %}\n'
        "{% endfor %}\n"
    )
    html = html_of(loop)
    assert html.count("<li>") == 1
    assert "Siskol" in html


def test_the_writer_hears_file_line_column_and_what_holds_now() -> None:
    body = (
        f"First.\n\nLong {block(LIGHTEST, 'true')} and {block(HEAVIEST, 'The Siskol is heavy.')}\n"
    )
    _, (problem,) = rendered(body)

    assert (problem.file, problem.line) == ("content/guides/a-guide.md", 7)
    assert body.split("\n")[2][problem.column - 1 :].startswith("{% holds most")
    assert problem.severity == "error"
    assert problem.what == (
        "'The Siskol is heavy.' is not true: Zandreth Moxun is heavier: 46.5 kg against 15 kg, "
        "and 27 more bikes besides"
    )


@pytest.mark.parametrize(
    ("condition", "now"),
    [
        (
            'least("zandreth-moxun", "mass", where={"use": "cargo"})',
            "Zandreth Kirru is lighter: 29.5 kg against 46.5 kg, and 2 more bikes besides",
        ),
        (
            'least("ivorrel-siskol", "mass", where={"use": "cargo"})',
            "Ivorrel Siskol is not among the bikes compared: Use city and commuting, not cargo",
        ),
        (
            'least("oskelm-talli", "mass", among=["oskelm-talli", "ivorrel-siskol"])',
            "Ivorrel Siskol is lighter: 15 kg against 21.8 kg",
        ),
        ('most("gromblo-une", "price")', "Karnoot Grael L is dearer: 6190 EUR against 599 EUR"),
        ('least("karnoot-dromm", "gears.range")', "Gromblo Une lies lower: Gear range 100 %"),
        (
            'only("ivorrel-siskol", {"shifting": "single speed"})',
            "Gromblo Une and Lumtarn Izzul fit too: Gears single speed",
        ),
        ('only("oskelm-talli", {"drive": "belt"})', "Oskelm Talli: Drive chain, not belt"),
        (
            'meets("oskelm-talli", {"mass": "under 20 kg"})',
            "Oskelm Talli: Mass 21.8 kg, over 20 kg",
        ),
        (
            'number_of({"throttle": "yes"}) > 1',
            "1 bike fits 'throttle: yes' (Tuspen Hebb), not more than 1",
        ),
        (
            f'{LIGHTEST} and meets("oskelm-talli", {{"drive": "belt"}})',
            "Oskelm Talli: Drive chain, not belt",
        ),
        (f"not {LIGHTEST}", "Ivorrel Siskol has the least: Mass 15 kg, then Ivorrel Siskol G with"),
    ],
)
def test_what_holds_now_is_said_in_figures(condition: str, now: str) -> None:
    _, (problem,) = rendered(block(condition, "Sentence."))

    assert problem.what.startswith(f"'Sentence.' is not true: {now}")


def test_what_is_not_known_does_not_hold_either_way() -> None:
    for condition in (UNKNOWN, f"not {UNKNOWN}", f"{UNKNOWN} and {LIGHTEST}"):
        html, (problem,) = rendered(block(condition, "Sentence."))
        assert html == ""
        assert "is not known to be true: Mass of Gromblo Drusk is not known" in problem.what
    assert rendered(block(f"{UNKNOWN} or {LIGHTEST}", "Sentence."))[1] == []


def test_the_policy_decides_between_error_and_warning() -> None:
    body = block(HEAVIEST, "Heavy.")
    html, (stop,) = rendered(body)
    assert (html, stop.severity) == ("", "error")
    html, (leave,) = rendered(body, leaving_out())
    assert (html, leave.severity) == ("", "warning")
    assert leave.mend.endswith("it is left out of the page")


def released(slug: str, figure: str, value: float) -> Release:
    """The demo's figures, but for one, on an earlier day."""
    release = make_record(demo.table(), date(2026, 11, 1), {})
    figures = {each: dict(own) for each, own in release.figures.items()}
    figures[slug][figure] = (value, value, value)
    return replace(release, figures=figures)


def test_since_which_change_is_worked_out_from_the_newest_record() -> None:
    old = replace(released("ivorrel-siskol", "spec.mass", 9.0), day=date(2026, 10, 1))
    new = released("zandreth-kirru", "spec.mass", 61.0)
    content = replace(NO_RECORDS, releases=(old, new))
    condition = 'most("zandreth-kirru", "mass", where={"use": "cargo"})'
    _, (problem,) = rendered(block(condition, "Kirru."), content)
    lines = (demo.ROOT / "bikes/zandreth-kirru.yaml").read_text("utf-8").split("\n")
    line = next(number for number, each in enumerate(lines, 1) if each.startswith("mass:"))

    assert problem.what.endswith(
        f"since the record of 2026-11-01: Mass of Zandreth Kirru from 61 kg to 29.5 kg (bikes/zandreth-kirru.yaml:{line})"
    )


def test_a_field_that_changed_and_a_bike_that_is_new_are_named() -> None:
    release = make_record(demo.table(), date(2026, 11, 1), {})
    fields = {slug: dict(own) for slug, own in release.fields.items()}
    fields["oskelm-talli"]["sensor"] = "torque"
    known = replace(release, fields=fields)
    body = block('meets("oskelm-talli", {"sensor": "torque"})', "Talli.")
    _, (problem,) = rendered(body, replace(NO_RECORDS, releases=(known,)))
    assert "Sensor of Oskelm Talli from torque to cadence (bikes/oskelm-talli.yaml:" in problem.what

    figures = {slug: own for slug, own in release.figures.items() if slug != "oskelm-talli"}
    new = replace(release, figures=figures)
    _, (problem,) = rendered(body, replace(NO_RECORDS, releases=(new,)))
    assert "Oskelm Talli is new (bikes/oskelm-talli.yaml)" in problem.what


def test_nothing_moved_is_said_too() -> None:
    release = make_record(demo.table(), date(2026, 11, 1), {})
    _, (problem,) = rendered(block(HEAVIEST, "x"), replace(NO_RECORDS, releases=(release,)))
    assert problem.what.endswith("since the record of 2026-11-01 nothing that it reads has moved")


def test_a_lead_within_the_interval_is_true_and_told_as_a_close_call() -> None:
    """`verdict.py`: two figures differ clearly when their intervals do not overlap."""
    column = demo.table().column("hills.steepest")
    first = max(column.values(), key=lambda figure: figure.value)
    meeting = [
        each for each in column.values() if each.bike != first.bike and each.high >= first.low
    ]
    html, (problem,) = rendered(block(f'most("{first.bike}", "hills.steepest")', "Up."))

    assert meeting
    assert html == "<p>Up.</p>"
    assert problem.severity == "warning"
    assert "no clear difference to " in problem.what


def test_bikes_that_share_the_lead_are_the_same() -> None:
    condition = 'least("oskelm-talli", "mass", among=["oskelm-talli", "oskelm-talli-s"])'
    _, (problem,) = rendered(block(condition, "x"))
    assert problem.what.startswith("the same as Oskelm Talli S: Mass 21.8 kg and 21.8 kg")


def test_a_figure_across_a_bound_is_a_close_call() -> None:
    _, (problem,) = rendered(block('meets("oskelm-talli", {"hills.steepest": "over 15 %"})', "x"))
    assert problem.severity == "warning"
    assert "Oskelm Talli is a close call: Steepest grade held 15.2 %, over 15 %" in problem.what


ATOMS = {LIGHTEST: True, HEAVIEST: False, UNKNOWN: None, 'number_of({"drive": "belt"}) == 4': True}


def expressions(depth: int) -> st.SearchStrategy[tuple[str, bool | None]]:
    """Conditions with their answer by Kleene's strong logic of three values (Kleene, 1952, section 64; from memory)."""
    atoms = st.sampled_from(sorted(ATOMS.items()))
    if not depth:
        return atoms
    below = expressions(depth - 1)

    def joined(parts: tuple[str, tuple, tuple]) -> tuple[str, bool | None]:
        word, (one, left), (other, right) = parts
        if word == "not":
            return f"not ({one})", None if left is None else not left
        values = {left, right}
        if word == "and":
            answer = False if False in values else None if None in values else True
        else:
            answer = True if True in values else None if None in values else False
        return f"({one}) {word} ({other})", answer

    return st.one_of(
        atoms, st.tuples(st.sampled_from(["and", "or", "not"]), below, below).map(joined)
    )


@given(expressions(3))
@settings(max_examples=60)
def test_and_or_and_not_know_three_answers(expression: tuple[str, bool | None]) -> None:
    condition, answer = expression
    html, problems = rendered(block(condition, "Sentence."))
    assert (html != "") == (answer is True)
    if answer is None:
        assert any("not known to be true" in problem.what for problem in problems)
    elif not answer:
        assert any("is not true" in problem.what for problem in problems)


@pytest.mark.parametrize(
    ("body", "what", "mend"),
    [
        (block('least("oskelm-tali", "mass")', "x"), "no bike 'oskelm-tali'", "'oskelm-talli'"),
        (block('least("oskelm-talli", "spec.mas")', "x"), "no figure 'spec.mas'", "'spec.mass'"),
        (block('least("oskelm-talli")', "x"), "missing a required argument", "least("),
        (block("least(1, 2)", "x"), "not a text", "quotation marks"),
        (block('least("oskelm-talli", "mass", among="x")', "x"), "not a list", "among=["),
        (block('least("oskelm-talli", "mass", among=["gromblo-une"])', "x"), "not in the list", "Add"),
        (block('meets("oskelm-talli", {"mas": "under 3 kg"})', "x"), "mas: there is no", "'mass'"),
        (block('meets("oskelm-talli", {"mass": "under 3"})', "x"), "has no unit", "3 kg"),
        (block('meets("oskelm-talli", {"sensor": "troque"})', "x"), "not one of", "'torque'"),
        (block('meets("oskelm-talli", {"maker": "Tuspn"})', "x"), "no bike here is by", "'Tuspen'"),
        (block('meets("oskelm-talli", "city")', "x"), "not a group in braces", "{"),
        (block('meets("oskelm-talli", {"mass": {"a": 1}})', "x"), "not a text", "in words"),
        (block('number_of({"mas": "x"}) == 3', "x"), "mas: there is no", "'mass'"),
        (block("number_of({})", "x"), "not compared", "== 3"),
        (block('number_of({}) == "3"', "x"), "with whole numbers", ">= 3"),
        (block("number_of({}) == true", "x"), "with whole numbers", ">= 3"),
        (block('least("a", "b") == 3', "x"), "only number_of() is compared", ">= 3"),
        (block("true", "x"), "not one that can be tested", "least("),
        (block("least", "x"), "not one that can be tested", "least("),
        (block('bike("oskelm-talli")', "x"), "not one that can be tested", "least("),
        (block('range(3)', "x"), "not one that can be tested", "least("),
        (block(f"{LIGHTEST} if true else {HEAVIEST}", "x"), "not one that can be tested", "least("),
        ("{{ " + LIGHTEST + " }}", "is a condition and says nothing", "{% holds least"),
        ("{% if " + LIGHTEST + " %}x{% endif %}", "is a condition and says nothing", "{% holds"),
        ("{% holds " + LIGHTEST + " %}x", "end of template", "{% holds %} with its end"),
        ("x{% endholds %}", "unknown tag", "{% holds %} with its end"),
        ("{% holds %}x{% endholds %}", "states no condition", "with its end"),
        ("{{ opened_(0) }}", "'opened_' means nothing here", "Known are"),
        ("{{ closed_() }}", "'closed_' means nothing here", "Known are"),
        (block("not_(3)", "x"), "not one that can be tested", "least("),
    ],
)  # fmt: skip
def test_a_condition_written_wrongly_is_told_with_its_line(body: str, what: str, mend: str) -> None:
    html, problems = rendered(f"First.\n\n{body}\n", leaving_out())

    assert {(problem.line, problem.severity) for problem in problems} == {(7, "error")}
    assert any(what in problem.what and mend in problem.mend for problem in problems), problems
    assert "x</p>" not in html


def test_what_is_shown_as_code_is_not_asked() -> None:
    html, problems = rendered(
        "{% raw %}`{% holds least(1) %}x{% endholds %}`\nnext{% endraw %} {# {% holds #}\n"
    )
    assert problems == []
    assert "{% endholds %}" in html


def test_a_link_to_the_glossary_that_left_with_its_sentence_is_not_the_first_one() -> None:
    body = block(HEAVIEST, '{{ term("torque-sensor") }}') + "\n\nThe torque sensor.\n"
    html, _ = prose_render.render_text(text(body), demo.table(), leaving_out(), depth=2)
    assert "glossary/torque-sensor/" in html


def test_tested_sentences_are_listed_in_plain_words() -> None:
    weighs = 'The {{ bike("ivorrel-siskol") }} weighs {{ figure("ivorrel-siskol", "spec.mass") }}.'
    body = f"A.\n\n{block(LIGHTEST, weighs)} {block(HEAVIEST, 'No.')}\n"
    found = prose_render.find_tested_sentences(text(body), demo.table(), demo.content())

    assert [(each.line, each.text.replace("\u00a0", " "), each.holds) for each in found] == [
        (3, "The Ivorrel Siskol weighs 15 kg (33.1 lb).", True),
        (3, "No.", False),
    ]
    assert prose_render.find_tested_sentences(text("Nothing."), demo.table(), demo.content()) == []


@given(st.lists(st.tuples(st.sampled_from(["- ", "", "> ", "1. "]), st.booleans()), max_size=8))
@settings(max_examples=40)
def test_what_is_true_reads_as_if_what_is_untrue_had_never_been_written(
    parts: list[tuple[str, bool]],
) -> None:
    body = "\n\n".join(
        lead + block(LIGHTEST if true else HEAVIEST, f"word{number}")
        for number, (lead, true) in enumerate(parts)
    )
    without = "\n\n".join(
        f"{lead}word{number}" for number, (lead, true) in enumerate(parts) if true
    )
    words = [
        word for word in html_of(body).replace("<", " ").replace(">", " ").split() if "word" in word
    ]
    assert words == [f"word{number}" for number, (_, true) in enumerate(parts) if true]
    assert html_of(body).count("<li") == html_of(without).count("<li")
