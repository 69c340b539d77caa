"""Figures of a glossary term: its worked example, the figures that it explains, and problems in its lists."""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from generator.content.model import Term
from generator.figures.model import Figure
from generator.pages.frame import urls
from generator.pages.frame.jobs import Job, run_job
from generator.pages.frame.renderer import Renderer
from generator.pages.guides import pages as guide_pages
from generator.pages.guides import worked_example
from generator.pages.prose import glossary_links
from generator.pages.reference import pages as reference_pages
from generator.specs.problems import Problem
from tests.pages import site_example as example
from tests.pages.rendered import outputs_of
from tests.project import ROOT


def term(slug: str, **more: object) -> Term:
    plain = Term(slug, f"content/glossary/{slug}.md", slug.title(), "What it is.", "More.\n", 9)
    return replace(plain, **more)


def renderer(*terms: Term) -> Renderer:
    return Renderer(example.table(), replace(example.CONTENT, terms=terms), ROOT)


def glossary_jobs(made: Renderer) -> Iterator[Job]:
    """Jobs of the glossary, once the guides are made."""
    guides = [run_job(made, job) for job in guide_pages.plan_guides(made)]
    return guide_pages.plan_glossary(made, [page for guide in guides for page in guide.pages])


def page(output_path: str, made: Renderer) -> str:
    """A page or a data file of the glossary."""
    return next(
        out.data.decode()
        for out in outputs_of(made, glossary_jobs(made))
        if out.path == output_path
    )


def faults(one: Term) -> list[Problem]:
    return list(glossary_links.check_term(one, example.table()))


def test_the_bike_in_the_middle_is_worked_out() -> None:
    """The median of 40, 60 and 90 km is 60, of Gamma; with formula, steps and a link to the full working."""
    own = term("far", figures=("range.rolling",))
    html = page(urls.term("far"), renderer(own))

    assert "A worked number" in html
    assert 'data-bike="invor-gamma"' in html
    assert '<p class="formula">a = b ÷ c</p>' in html
    assert "<li>= 44 km</li>" in html
    assert "../../bikes/invor-gamma/index.html#fig-range-rolling" in html
    assert "in the middle of 3 bikes" in html


def test_a_term_may_name_its_bike() -> None:
    own = term("far", figures=("range.rolling",), bike="invor-beta")
    made = worked_example.find_example(renderer(own), own, urls.term("far"))

    assert made is not None
    assert made.bike == "Invor Beta"
    assert made.chosen == "Chosen as the example of this term."


def test_the_middle_is_the_lower_of_two_and_leaves_out_what_rides_have_moved() -> None:
    """The steps of a figure adjusted by rides do not lead to its value."""
    figures = [example.table().get(slug, "range.rolling") for slug in example.VALUES]
    found: list[Figure] = [figure for figure in figures if figure is not None]
    moved = [replace(found[0], before_rides=(1.0, 1.0, 1.0)), *found[1:]]

    assert [figure.value for figure in found] == [40_000, 90_000, 60_000]
    assert getattr(worked_example.find_median(moved, ""), "bike", None) == "invor-gamma"
    assert getattr(worked_example.find_median(moved[:1], ""), "bike", None) == "invor-alpa"
    assert worked_example.find_median([], "") is None


def test_an_input_stands_in_where_no_figure_fits() -> None:
    """The invented figures use a mass of 26.1 kg: 57.5 lb, with 1 lb = 0.45359237 kg exactly."""
    own = term("heavy", inputs=("bike.mass",))
    html = page(urls.term("heavy"), renderer(own))

    assert "26.1\u00a0kg" in html
    assert "57.5\u00a0lb" in html
    assert "It is the same for 3 bikes." in html
    assert "Claimed: 26.1 kg; sheet." in html


def test_a_term_without_figures_says_nothing_of_numbers() -> None:
    html = page(urls.term("plain"), renderer(term("plain")))

    assert "A worked number" not in html
    assert "Figures that it explains" not in html


def test_a_term_lists_the_figures_that_it_explains() -> None:
    own = term("far", figures=("range.rolling", "hills.steepest"))
    html = page(urls.term("far"), renderer(own))

    assert '<a href="../../method/index.html#kind-range-rolling">Range on the loop</a>' in html
    assert '<a href="../../method/index.html#kind-hills-steepest">Steepest hill</a>' in html


def test_a_figure_finds_its_term() -> None:
    """The term that lists a figure earliest wins; a level's figure shares the term of its family."""
    made = renderer(
        term("far", figures=("range.rolling",)),
        term("other", figures=("hills.steepest", "range.rolling", "assist.cruise.level_1")),
    )

    assert made.term_of("range.rolling", urls.METHOD) == "../glossary/far/index.html"
    assert made.term_of("range.rolling.level_1", urls.HOME) == "glossary/far/index.html"
    assert made.term_of("assist.cruise.level_4", urls.HOME) == "glossary/other/index.html"
    assert made.term_of("spec.mass", urls.HOME) is None


def test_the_method_page_leads_to_the_glossary() -> None:
    made = renderer(term("far", figures=("range.rolling",)))
    html = next(
        out.data.decode()
        for out in outputs_of(made, reference_pages.plan_jobs())
        if out.path == urls.METHOD
    )

    assert 'In the glossary: <a href="../glossary/far/index.html">Far</a>.' in html


def test_definitions_are_plain_data() -> None:
    made = renderer(term("far", summary="How far; <b>a</b> distance."))

    assert page(urls.DEFINITIONS, made) == (
        'guide.take("data/terms.js",{"far":"How far; \\u003cb>a\\u003c/b> distance."});\n'
    )


@pytest.mark.parametrize(
    ("more", "severity", "what", "mend"),
    [
        ({"figures": ("hills.steepst",)}, "error", "no figure 'hills.steepst'", "hills.steepest"),
        ({"figures": ("range.moor",)}, "warning", "no figure 'range.moor'", "range.rolling"),
        ({"inputs": ("tyre.cr",)}, "error", "no figure has an input 'tyre.cr'", "tyre.crr"),
        ({"bike": "invor-bet"}, "warning", "no bike 'invor-bet'", "invor-beta"),
    ],
)
def test_what_is_not_there_is_told_with_its_line(
    more: dict[str, object], severity: str, what: str, mend: str
) -> None:
    """An id that no publication can have is an error; one of a route or a bike of another publication is not."""
    (value,) = more.values()
    name = value if isinstance(value, str) else value[0]  # type: ignore[index] # a tuple of one name
    (problem,) = faults(term("far", lines=((name, 6),), **more))

    assert (problem.file, problem.line, problem.severity) == (
        "content/glossary/far.md",
        6,
        severity,
    )
    assert what in problem.what
    assert mend in problem.mend


def test_problems_come_with_what_a_job_made() -> None:
    made = renderer(term("far", figures=("hills.steepst",)))
    results = [run_job(made, job) for job in glossary_jobs(made)]

    assert "figures: there is no figure 'hills.steepst'" in {
        problem.what for result in results for problem in result.problems
    }
