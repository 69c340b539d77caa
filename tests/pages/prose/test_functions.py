"""What the words of live text print, and the faults when they are used wrongly."""

import pytest
from markupsafe import Markup

from generator.pages.prose.render import render_text
from generator.specs.problems import Problem
from tests.figures import demo
from tests.pages.prose.prose_example import TABLE, content, text

RANGE = '{{ figure("pellimor-fenno", "range.rolling") }}'


def html_of(body: str, units: str = "metric", depth: int = 2) -> str:
    html, problems = render_text(text(body), TABLE, content(units), depth=depth)
    assert problems == []
    return html


def problems_of(body: str) -> list[Problem]:
    return render_text(text(body), TABLE, content(), depth=2)[1]


def test_a_figure_stands_in_both_unit_systems_and_leads_to_its_derivation() -> None:
    """44 000 m is 44 km and 27.34 mi (1 mi = 1609.344 m, international mile of 1959)."""
    html = html_of(f"It goes {RANGE}.\n")

    assert html == (
        '<p>It goes <a class="fig" href="../../bikes/pellimor-fenno/#fig-range-rolling">'
        '<data class="figure" data-bike="pellimor-fenno" data-figure="range.rolling"'
        ' value="44000.0"><span class="u-metric">44\u00a0km</span>'
        ' <span class="u-us">(27\u00a0mi)</span></data></a>.</p>'
    )


def test_us_units_come_first_when_the_publication_wants_them_first() -> None:
    html = html_of(RANGE, units="us")

    assert '<span class="u-us">27\u00a0mi</span> <span class="u-metric">(44\u00a0km)</span>' in html


def test_a_figure_that_reads_the_same_in_both_systems_stands_once() -> None:
    html = html_of('{{ figure("pellimor-fenno", "hills.steepest") }}')

    assert html.count("17") == 1 + 'value="0.17"'.count("17")
    assert '<span class="u-both">' in html


def test_the_interval_is_told_on_request() -> None:
    html = html_of('{{ figure("pellimor-fenno", "range.rolling", interval=true) }}')

    assert "44\u00a0km, likely\u00a036–52\u00a0km" in html
    assert "36–52" not in html_of(RANGE)


def test_a_figure_that_a_bike_lacks_is_not_known() -> None:
    """A missing figure is shown as not known; it is neither zero nor a problem of the text."""
    html = html_of('{{ figure("oskelm-talli", "range.rolling") }}')

    assert '<span class="not-known">not known</span>' in html
    assert "<data" not in html


@pytest.mark.parametrize(("depth", "up"), [(0, ""), (1, "../"), (3, "../../../")])
def test_links_go_up_by_the_depth_of_the_page(depth: int, up: str) -> None:
    html = html_of('{{ bike("oskelm-talli") }}', depth=depth)

    assert f'<a class="bike" href="{up}bikes/oskelm-talli/">Oskelm Talli</a>' in html


def test_a_term_links_with_its_own_words_or_with_others() -> None:
    html = html_of('{{ term("crr") }}, {{ term("cadence", "turns a minute") }}')

    assert '<a class="term" href="../../glossary/crr/">rolling resistance</a>' in html
    assert '<a class="term" href="../../glossary/cadence/">turns a minute</a>' in html


def test_a_table_has_a_caption_heads_and_row_heads() -> None:
    html = html_of(
        'Look:\n\n{{ table(["pellimor-fenno", "oskelm-talli"], ["range.rolling", "spec.mass"]) }}\n'
    )

    assert '<caption id="t-1">Range on the rolling route, Mass</caption>' in html
    assert html.count('<th scope="col">') == 3
    assert html.count('<th scope="row">') == 2
    assert html.count("not known") == 1
    assert 'role="region" tabindex="0" aria-labelledby="t-1"' in html
    assert "<p><div" not in html


def test_a_table_within_a_sentence_gets_its_own_place() -> None:
    html = html_of('Before {{ table(["pellimor-fenno"], ["spec.mass"]) }} after.')

    assert html.startswith("<p>Before </p>\n<div")
    assert html.endswith("</div>\n<p>after.</p>")


def test_loops_and_conditions_work() -> None:
    html = html_of(
        '{% for slug in ["pellimor-fenno", "oskelm-talli"] %}'
        "{{ bike(slug) }}{% if not loop.last %}, {% endif %}{% endfor %}"
    )

    assert html.count('class="bike"') == 2
    assert "</a>, <a" in html


def test_a_loop_makes_the_rows_of_one_list() -> None:
    """Lines with only a tag leave no empty line."""
    html = html_of('{% for slug in ["pellimor-fenno", "oskelm-talli"] %}\n- x\n{% endfor %}\n')

    assert html == "<ul>\n<li>x</li>\n<li>x</li>\n</ul>"


def test_a_figure_in_code_in_a_title_and_in_a_link_has_no_link_of_its_own() -> None:
    html = html_of(f"`{RANGE}` [{RANGE}](../x/) ![{RANGE}](x.png)\n\n## {RANGE}\n")

    assert "<code>44\u00a0km (27\u00a0mi)</code>" in html
    assert 'alt="44\u00a0km (27\u00a0mi)"' in html
    assert html.count('class="fig"') == 1
    assert '<h2 id="s-44-km-27-mi">' in html


@pytest.mark.parametrize(
    ("body", "line", "column", "what", "mend"),
    [
        (
            'a\n\nb {{ bike("pellimor-feno") }}',
            7,
            12,
            "no bike 'pellimor-feno'",
            "'pellimor-fenno'",
        ),
        (
            '{{ figure("oskelm-talli", "range.roling") }}',
            5,
            28,
            "'range.roling'",
            "'range.rolling'",
        ),
        ('x\n{{ term("cadense") }}', 6, 10, "no term 'cadense'", "'cadence'"),
        ("x\ny\n{{ figures }}", 7, 4, "'figures' means nothing", "Did you mean figure"),
        ("x\n{{ bike }}", 6, 4, "wants arguments", 'bike("…")'),
        ("x\n{{ bike() }}", 6, 0, "wrong arguments", 'bike("slug")'),
        ("x\n{{ bike(3) }}", 6, 0, "not a text", "quotation marks"),
        ('x\n{{ bike("a" }}', 6, 0, "unexpected '}'", "Close every"),
        ("x\ny\n{% if true %}", 7, 0, "end of template", "Close every"),
        ('\n{{ chart("nonsense", "oskelm-talli") }}', 6, 11, "no chart 'nonsense'", "Known are"),
        ('x {{ table(["oskelm-talli"], []) }}', 5, 0, "at least one", "two lists"),
        ('x {{ table("oskelm-talli", "spec.mass") }}', 5, 0, "two lists", "table(["),
        ('[x]({{ bike("oskelm-talli") }})', 5, 0, "link's address", "it is a link"),
    ],
)
def test_problems_name_the_line_and_the_mend(
    body: str, line: int, column: int, what: str, mend: str
) -> None:
    """The body begins on line 5 of the file."""
    problem = problems_of(body)[0]

    assert (problem.file, problem.line, problem.column) == (
        "content/guides/a-guide.md",
        line,
        column,
    )
    assert what in problem.what
    assert mend in problem.mend


def test_every_problem_comes_in_one_run() -> None:
    problems = problems_of(
        '{{ bike("one") }}\n\n{{ bike("two") }} {{ figure("oskelm-talli", "three") }}\n\n'
        "[x](javascript:alert(1))\n"
    )

    assert [problem.line for problem in problems] == [5, 7, 7, 9]


def test_a_chart_has_its_own_place_and_its_bike_as_heading() -> None:
    """The caller's `draw` is used if given."""
    asked = []

    def draw(bike: str, name: str, heading: str) -> Markup:
        asked.append((bike, name, heading))
        return Markup("<figure>drawn</figure>")

    body = 'See\n\n{{ chart("range.by_level", "pellimor-fenno") }}\n'
    html, problems = render_text(text(body), TABLE, content(), depth=2, draw=draw)

    assert problems == []
    assert html == "<p>See</p>\n<figure>drawn</figure>"
    assert asked == [("pellimor-fenno", "range.by_level", "Pellimor Fenno")]


def test_a_diagram_has_its_own_place_and_needs_no_bike() -> None:
    """Without a slug the diagram is of a typical bike; with one, the bike's name precedes the title."""
    body = 'See\n\n{{ diagram("run-on") }}\n\n{{ diagram("run-on", "oskelm-talli") }}\n'
    html, problems = render_text(text(body), demo.table(), content(), depth=2)

    assert problems == []
    assert html.startswith('<p>See</p>\n<figure class="chart diagram" id="diagram-run-on">')
    assert 'id="diagram-run-on-oskelm-talli"' in html
    assert "<strong>Oskelm Talli: When you stop pedalling</strong>" in html


@pytest.mark.parametrize(
    ("words", "what", "mend"),
    [
        ('diagram("crank-trun")', "no diagram 'crank-trun'", "Did you mean 'crank-turn'"),
        ('diagram("zzz")', "no diagram 'zzz'", "Known are crank-turn, take-up"),
        ('diagram("levels", "oskelm-tali")', "no bike 'oskelm-tali'", "'oskelm-talli'"),
        ('diagram("crank-turn", "gromblo-drusk")', "nothing to draw", "the bike's file"),
        ("diagram()", "wrong arguments", 'diagram("name")'),
    ],
)
def test_a_wrong_diagram_is_told(words: str, what: str, mend: str) -> None:
    problems = render_text(text(f"{{{{ {words} }}}}"), demo.table(), content(), depth=2)[1]

    assert len(problems) == 1
    assert what in problems[0].what
    assert mend in problems[0].mend
