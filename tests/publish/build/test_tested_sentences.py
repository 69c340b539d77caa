"""Tested sentences through the commands: what `vet`, `build`, `watch` and `impact` make of one that is untrue."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.tabulate import tabulate
from generator.pages.site import outputs
from generator.publish.build.build import build
from generator.publish.impact.compare import assess_impact
from generator.publish.reading import Publication, read_publication
from generator.publish.vet.check import check_publication
from generator.publish.watch.whole import Site
from generator.specs.problems import Problem, ProblemsFound
from tests.project import ROOT
from tests.publish.impact.impacts import changed, copy_of, rewrite

GUIDE = "content/guides/two.md"
TRIAL = "bikes/pellimor-trial.yaml"
SENTENCE = """
{% holds most("pellimor-fenno", "spec.mass") and number_of({"mass": "over 20 kg"}) == 2 %}
The Fenno weighs as much as any, and both weigh over 20 kg.
{% endholds %}
"""


@pytest.fixture
def tested(root: Path) -> Path:
    """The small publication with one tested sentence; the trial bike is lighter than the other."""
    rewrite(root / TRIAL, ("mass: 26.1 kg", "mass: 25.0 kg"))
    path = root / GUIDE
    path.write_text(path.read_text("utf-8") + SENTENCE, "utf-8")
    return root


def told(problems: list[Problem]) -> list[Problem]:
    return [problem for problem in problems if problem.file.startswith("content/guides/")]


def leave_out(root: Path) -> None:
    rewrite(root / "content/site.yaml", ("untrue_sentences: stop", "untrue_sentences: leave out"))


def test_a_true_sentence_is_built_and_nothing_is_told(tested: Path) -> None:
    assert told(check_publication(tested)) == []
    summary = build(tested)
    assert told(list(summary.warnings)) == []
    assert "both weigh over 20" in (tested / "site/guides/two/index.html").read_text("utf-8")


def test_an_untrue_one_stops_build_vet_and_watch_with_the_line(tested: Path) -> None:
    build(tested)
    before = (tested / "site/guides/two/index.html").read_bytes()
    rewrite(tested / TRIAL, ("mass: 25.0 kg", "mass: 19.5 kg"))
    (problem,) = told(check_publication(tested))
    assert (problem.file, problem.line, problem.severity) == (GUIDE, 8, "error")
    assert "1 bike fits 'mass over 20 kg' (Pellimor Fenno), not 2" in problem.what
    with pytest.raises(ProblemsFound) as stopped:
        build(tested)
    assert stopped.value.problems == (problem,)
    assert (tested / "site/guides/two/index.html").read_bytes() == before
    with pytest.raises(ProblemsFound) as stopped:
        Site(tested).whole(lambda: False)
    assert stopped.value.problems == (problem,)


def test_an_untrue_one_may_be_left_out_with_a_warning(tested: Path) -> None:
    rewrite(tested / TRIAL, ("mass: 25.0 kg", "mass: 19.5 kg"))
    leave_out(tested)
    (problem,) = told(check_publication(tested))
    assert problem.severity == "warning"
    summary = build(tested)
    assert told(list(summary.warnings)) == [problem]
    assert told(list(Site(tested).whole(lambda: False).warnings)) == [problem]
    page = (tested / "site/guides/two/index.html").read_text("utf-8")
    assert "both weigh over 20" not in page
    assert "holds" not in page


def test_a_policy_that_is_no_policy_is_refused(tested: Path) -> None:
    rewrite(tested / "content/site.yaml", ("untrue_sentences: stop", "untrue_sentences: ignore"))
    assert any("untrue_sentences" in problem.what for problem in check_publication(tested))


def test_the_impact_names_sentences_that_stopped_being_true(tested: Path) -> None:
    report = changed(tested, ("mass: 25.0 kg", "mass: 19.5 kg"), file=TRIAL)
    (sentence,) = report.sentences
    assert (sentence.file, sentence.line) == (GUIDE, 8)
    assert sentence.text.startswith("The Fenno weighs as much as any")
    (problem,) = [each for each in report.new_problems if each.file == GUIDE]
    assert "is not true" in problem.what


def test_a_sentence_that_was_untrue_before_is_not_told_again(tested: Path) -> None:
    live = 'both weigh over 20 kg, one {{ figure("pellimor-trial", "spec.mass") }}.'
    rewrite(tested / GUIDE, ("both weigh over 20 kg.", live))
    rewrite(tested / TRIAL, ("mass: 25.0 kg", "mass: 19.5 kg"))
    before = copy_of(tested)
    rewrite(tested / TRIAL, ("mass: 19.5 kg", "mass: 19.2 kg"))
    assert assess_impact(tested, str(before)).sentences == ()


def test_figures_of_a_chosen_list_are_live_too(root: Path) -> None:
    path = root / GUIDE
    listed = '\n{{ bikes(order_by="spec.mass", show=["spec.mass"]) }}\n'
    path.write_text(path.read_text("utf-8") + listed, "utf-8")
    report = changed(root, ("mass: 26.1 kg", "mass: 24.9 kg"), file=TRIAL)
    live = {(each.bike, each.figure, each.old, each.new) for each in report.live}
    assert ("pellimor-trial", "spec.mass", "26.1\u00a0kg", "24.9\u00a0kg") in live


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with one bike that has grown heavier, by a slip or by truth."""
    folder = tmp_path_factory.mktemp("demo")
    for name in ("bikes", "content"):
        shutil.copytree(ROOT / name, folder / name)
    rewrite(folder / "bikes/ivorrel-siskol.yaml", ("mass: 15.0 kg", "mass: 20.0 kg"))
    return folder


@pytest.fixture(scope="module")
def read(demo: Path) -> tuple[Publication, FiguresTable]:
    publication = read_publication(demo)
    return publication, tabulate(publication.bikes, publication.content)


EXPECTED = [
    ("content/guides/how-to-read-a-spec-sheet.md", "Ivorrel Siskol G is lighter: 15.6 kg against 20 kg"),
    ("content/guides/how-to-read-a-spec-sheet.md", "2 bikes fit 'mass under 18 kg' (Ivorrel Siskol G and Lumtarn Izzul), not 3"),
    ("content/guides/hub-or-mid.md", "Lumtarn Izzul 3 is lighter: 18.6 kg against 20 kg"),
]  # fmt: skip
"""The sentences of the demo that rest on the mass of its lightest bike; masses from the sheets."""
SENTENCES = ("The lightest bike in this guide", "Only three of the bikes here", "The lightest of these six")  # fmt: skip
"""How they begin."""


def expect(found: list[Problem], demo: Path, severity: str) -> None:
    assert [(problem.file, problem.severity) for problem in found] == [
        (file, severity) for file, _ in EXPECTED
    ]
    for problem, (file, now) in zip(found, EXPECTED, strict=True):
        assert now in problem.what
        assert "since the record of " in problem.what
        assert "Mass of Ivorrel Siskol from 15 kg to 20 kg (bikes/ivorrel-siskol.yaml:" in problem.what  # fmt: skip
        line = (demo / file).read_text("utf-8").split("\n")[problem.line - 1]
        assert line[problem.column - 1 :].startswith("{% holds")


def printed(
    read: tuple[Publication, FiguresTable], policy: str
) -> tuple[dict[str, str], list[Problem]]:
    """What a build writes, without the slow drawing, and the warnings about texts."""
    publication, table = read
    settings = replace(publication.content.settings, untrue_sentences=policy)
    content = replace(publication.content, settings=settings)
    told: list[Problem] = []
    pages = {}
    for output in outputs(
        table,
        content,
        publication.root,
        convert=lambda spec: '<svg width="328" height="200"></svg>',
        chart_library=lambda: "",
        draw=lambda card: b"",
        warn=told.append,
    ):
        if output.path.endswith(".html"):
            pages[output.path] = output.data.decode()
    return pages, told


def test_one_changed_mass_of_the_demo_makes_exactly_three_sentences_untrue(
    demo: Path, read: tuple[Publication, FiguresTable]
) -> None:
    expect(
        [each for each in check_publication(demo) if each.file.startswith("content/")],
        demo,
        "error",
    )
    with pytest.raises(ProblemsFound) as stopped:
        printed(read, "stop")
    expect(list(stopped.value.problems), demo, "error")


def test_and_they_are_left_out_where_the_publication_wants_it_so(
    demo: Path, read: tuple[Publication, FiguresTable]
) -> None:
    pages, told = printed(read, "leave out")
    expect(told, demo, "warning")
    whole = "".join(pages.values())
    assert not [sentence for sentence in SENTENCES if sentence in whole]
    assert "The heaviest is the" in pages["guides/how-to-read-a-spec-sheet/index.html"]
