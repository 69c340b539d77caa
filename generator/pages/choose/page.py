"""Help me choose: the page with the questions, and a tree of plain pages for readers without scripts."""

from collections.abc import Iterator
from dataclasses import replace

from generator.figures import show, units
from generator.figures.chooser.candidates import CandidateMaker, build_chooser
from generator.figures.chooser.changes import ChooserQuestion, list_questions
from generator.figures.chooser.model import Candidate, Chooser, ChooserAnswers, Ranking
from generator.figures.chooser.ranking import BikeRanker
from generator.figures.chooser.rule import RULE, WEIGHTS
from generator.figures.chooser.wishes import WISHES, Wish
from generator.pages.choose.address import format_query
from generator.pages.choose.data import PATH, pack_chooser
from generator.pages.choose.result import build_result
from generator.pages.frame import browser_data, urls
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.page import Page
from generator.pages.frame.renderer import Renderer
from generator.pages.lists import bike_table
from generator.pages.notices import cautions
from generator.specs.bike import Bike
from generator.specs.encoding import fingerprint

TITLE = "Help me choose"
RATIOS = ("reach", "climb", "cost")
"""Ids of wishes whose measure has no unit."""
CAUTIONS = (cautions.LOCAL_LAW, cautions.UNALTERED, cautions.LOAD, cautions.HILLS)
"""Cautions beside every list; the one for fast bikes is added if a list has one."""


def plan_jobs(renderer: Renderer) -> Iterator[Job]:
    """Yield a job for the form with its data, then one for each use, because ranking takes time.

    A use's pages depend only on its own bikes and on the number of others. Their job is given a fingerprint of these,
    and is not recorded as reading the whole table.
    """
    yield Job(_make_form, long=True)
    chooser = renderer.share("chooser", _build_rule).chooser
    for use in bike_table.group_by_use(renderer):
        own = tuple(bike for bike in chooser.bikes if use in bike.uses)
        bikes_fingerprint = fingerprint(replace(chooser, bikes=own), len(chooser.bikes))
        yield Job(_make_use, (use, bikes_fingerprint), long=True)


def _build_rule(renderer: Renderer) -> BikeRanker:
    def build_candidates(candidate: CandidateMaker) -> dict[str, Candidate]:
        def build_candidate(alone: Renderer, bike: Bike) -> Candidate:
            return candidate(alone.table, bike)

        return renderer.for_each_bike("candidates", Candidate, build_candidate)

    return BikeRanker(
        build_chooser(renderer.table, renderer.content, renderer.day, build_candidates)
    )


def _make_form(renderer: Renderer) -> Iterator[Output]:
    chooser = renderer.share("chooser", _build_rule).chooser
    yield browser_data.make_data_file(PATH, pack_chooser(chooser))
    yield renderer.render_page(_build_form_page(renderer, chooser))


def _make_use(renderer: Renderer, use: str, bikes_fingerprint: str) -> Iterator[Output]:
    ranker = renderer.share("chooser", _build_rule, of_table=False)
    yield renderer.render_page(_build_use_page(ranker.chooser, use))
    for answers in _list_answers(ranker.chooser, use):
        yield renderer.render_page(_build_result_page(renderer, ranker, answers))


def find_use_path(use: str) -> str:
    """Path of the plain page of a use."""
    return f"choose/{urls.folder(use)}/index.html"


def find_result_path(answers: ChooserAnswers) -> str:
    """Path of the plain page of a use, a route and a budget."""
    band = f"to-{answers.budget}" if answers.budget else "any-budget"
    return f"choose/{urls.folder(answers.use)}/{answers.hills}/{band}/index.html"


def _list_answers(chooser: Chooser, use: str) -> Iterator[ChooserAnswers]:
    for road in chooser.routes:
        for budget in (*map(str, chooser.bands), ""):
            yield replace(chooser.usual, use=use, hills=road.id, budget=budget)


def _build_form_page(renderer: Renderer, chooser: Chooser) -> Page:
    path = urls.CHOOSE
    return Page(
        path=path,
        template="choose.html",
        title=TITLE,
        description="A few questions, and a short list of bikes that fit, with reasons and figures.",
        scripts=("choose",),
        values={
            "questions": [each for each in list_questions(chooser) if len(each.answers) != 1],
            "usual": chooser.usual,
            "wishes": WISHES,
            "weights": WEIGHTS,
            "rule": RULE,
            "lines": [(each, _describe_knots(each)) for each in WISHES],
            "tree": [
                (bike_table.find_use_title(use), urls.link(path, find_use_path(use)))
                for use in chooser.uses
            ],
            "cautions_shown": (*CAUTIONS, cautions.FAST),
        },
    )


def _build_use_page(chooser: Chooser, use: str) -> Page:
    path = find_use_path(use)
    roads = [
        (
            f"{road.name[0].upper()}{road.name[1:]}",
            show.format_in_both_systems(road.grade, units.GRADE),
            [
                (_describe_budget(chooser, answers), urls.link(path, find_result_path(answers)))
                for answers in _list_answers(chooser, use)
                if answers.hills == road.id
            ],
        )
        for road in chooser.routes
    ]
    return Page(
        path=path,
        template="choose_step.html",
        title=f"{TITLE}: {bike_table.find_use_title(use).lower()}",
        description=f"{bike_table.find_use_title(use)}: choose a road and a budget.",
        above=((TITLE, urls.CHOOSE),),
        values={
            "roads": roads,
            "form": urls.link(path, urls.CHOOSE)
            + format_query(chooser, replace(chooser.usual, use=use)),
            "list": (bike_table.find_use_title(use), urls.link(path, urls.use(use))),
        },
    )


def _build_result_page(renderer: Renderer, ranker: BikeRanker, answers: ChooserAnswers) -> Page:
    path, chooser = find_result_path(answers), ranker.chooser
    road = next(each for each in chooser.routes if each.id == answers.hills)
    use = bike_table.find_use_title(answers.use)
    ranking = ranker.rank_bikes(answers)
    return Page(
        path=path,
        template="choose_leaf.html",
        title=f"{use}, {road.name}, {_describe_budget(chooser, answers)}",
        description=f"Which bikes fit: {use.lower()}, on roads like {road.name}, {_describe_budget(chooser, answers)}.",
        above=((TITLE, urls.CHOOSE), (use, find_use_path(answers.use))),
        values={
            "result": build_result(renderer, ranker, answers, ranking, path),
            "assumed": _list_assumed(chooser, answers),
            "form": urls.link(path, urls.CHOOSE) + format_query(chooser, answers),
            "rule": urls.link(path, f"{urls.CHOOSE}#rule"),
            "list": (use, urls.link(path, urls.use(answers.use))),
            "cautions_shown": _select_cautions(renderer, ranking),
        },
    )


def _select_cautions(renderer: Renderer, ranking: Ranking) -> tuple[str, ...]:
    listed = {place.bike.slug for place in ranking.ranked}
    fast = any(
        cautions.FAST in cautions.find_cautions("feel", bike)
        for bike in renderer.bikes(sorted(listed))
    )
    return (*CAUTIONS, cautions.FAST) if fast else CAUTIONS


def _describe_budget(chooser: Chooser, answers: ChooserAnswers) -> str:
    if not answers.budget:
        return "no limit of money"
    return f"up to {show.join_unit(show.format_digits(float(answers.budget), 0), chooser.currency)}"


def _list_assumed(chooser: Chooser, answers: ChooserAnswers) -> list[tuple[str, str]]:
    """Questions that a plain page does not ask, with the answers that it assumes."""
    return [
        (each.words, _describe_answer(each, answers))
        for each in list_questions(chooser)
        if each.id not in ("use", "hills", "budget")
    ]


def _describe_answer(question: ChooserQuestion, answers: ChooserAnswers) -> str:
    given = getattr(answers, question.id)
    return next(each.words for each in question.answers if each.id == given)


def _describe_knots(wish: Wish) -> str:
    """The scale of a wish in words: `16 kg (35 lb): 1; 25 kg (55 lb): 0`."""
    if wish.id in RATIOS or wish.unit is units.RATIO:
        return "; ".join(f"{at:g}: {fit:g}" for at, fit in wish.knots)
    if wish.unit is units.SECONDS:
        return "; ".join(f"{at:g} s: {fit:g}" for at, fit in wish.knots)
    return "; ".join(
        f"{show.format_in_both_systems(at, wish.unit)}: {fit:g}" for at, fit in wish.knots
    )
