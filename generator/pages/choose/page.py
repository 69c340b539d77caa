"""Help me choose: the page with the questions, and the same as a tree of plain pages for readers without scripts."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache, partial

from generator.figures import show, units
from generator.figures.chooser.candidates import CandidateOf, bands
from generator.figures.chooser.candidates import chooser as put_together
from generator.figures.chooser.changes import Question, questions
from generator.figures.chooser.model import Answers, Candidate, Chooser, Ranking
from generator.figures.chooser.ranking import Rule
from generator.figures.chooser.rule import RULE, WEIGHTS
from generator.figures.chooser.wishes import WISHES, Wish
from generator.pages.choose.address import query
from generator.pages.choose.data import PATH, packed
from generator.pages.choose.result import result
from generator.pages.frame import browser_data, cautions, urls
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Page, Renderer
from generator.pages.lists import bike_table

TITLE = "Help me choose"
RATIOS = ("reach", "climb", "cost")
"""Wishes whose measure has no unit."""
CAUTIONS = (cautions.LOCAL_LAW, cautions.UNALTERED, cautions.LOAD, cautions.HILLS)
"""Beside every list; that for fast bikes only where one is in it."""


def jobs(renderer: Renderer) -> Iterator[Job]:
    """The form with its data, then one for each use: ranking takes time. Each process puts the tables together once.

    Bikes for another use are left out by that alone and told by their number, so a use's pages depend on its own bikes.
    """
    renderer = renderer.untold()
    rule = cache(partial(_rule, renderer))
    yield Job(partial(_whole, renderer, rule))
    bikes, by_use = renderer.table.bikes, bike_table.by_use(renderer)
    told = len(bikes), list(by_use), bands(bikes, renderer.settings.currency)
    for use, own in by_use.items():
        yield Job(partial(_of_use, renderer, rule, use), renderer.reads(own, "choose", use, *told))


def _rule(renderer: Renderer) -> Rule:
    def each(candidate: CandidateOf) -> dict[str, Candidate]:
        return renderer.of_each("candidates", lambda alone, bike: candidate(alone.table, bike))

    return Rule(put_together(renderer.table, renderer.content, renderer.day, each))


def _whole(renderer: Renderer, rule: Callable[[], Rule]) -> Iterator[Output]:
    yield browser_data.data_file(PATH, packed(rule().chooser))
    yield renderer.render_page(_form(renderer, rule().chooser))


def _of_use(renderer: Renderer, rule: Callable[[], Rule], use: str) -> Iterator[Output]:
    yield renderer.render_page(_step(rule().chooser, use))
    for answers in _leaves(rule().chooser, use):
        yield renderer.render_page(_leaf(renderer, rule(), answers))


def step(use: str) -> str:
    """Path of the plain page of a use."""
    return f"choose/{urls.folder(use)}/index.html"


def leaf(answers: Answers) -> str:
    """Path of the plain page of a use, a road and a budget."""
    band = f"to-{answers.budget}" if answers.budget else "any-budget"
    return f"choose/{urls.folder(answers.use)}/{answers.hills}/{band}/index.html"


def _leaves(chooser: Chooser, use: str) -> Iterator[Answers]:
    for road in chooser.roads:
        for budget in (*map(str, chooser.bands), ""):
            yield replace(chooser.usual, use=use, hills=road.id, budget=budget)


def _form(renderer: Renderer, chooser: Chooser) -> Page:
    path = urls.CHOOSE
    return Page(
        path=path,
        template="choose.html",
        title=TITLE,
        description="A few questions, and a short list of bikes that fit, with reasons and figures.",
        scripts=("choose",),
        values={
            "questions": [each for each in questions(chooser) if len(each.answers) != 1],
            "usual": chooser.usual,
            "wishes": WISHES,
            "weights": WEIGHTS,
            "rule": RULE,
            "lines": [(each, _knots(each)) for each in WISHES],
            "tree": [(bike_table.title(use), urls.link(path, step(use))) for use in chooser.uses],
            "cautions_shown": (*CAUTIONS, cautions.FAST),
        },
    )


def _step(chooser: Chooser, use: str) -> Page:
    path = step(use)
    roads = [
        (
            f"{road.name[0].upper()}{road.name[1:]}",
            show.in_both(road.grade, units.GRADE),
            [
                (_budget(chooser, answers), urls.link(path, leaf(answers)))
                for answers in _leaves(chooser, use)
                if answers.hills == road.id
            ],
        )
        for road in chooser.roads
    ]
    return Page(
        path=path,
        template="choose_step.html",
        title=f"{TITLE}: {bike_table.title(use).lower()}",
        description=f"{bike_table.title(use)}: choose a road and a budget.",
        above=((TITLE, urls.CHOOSE),),
        values={
            "roads": roads,
            "form": urls.link(path, urls.CHOOSE) + query(chooser, replace(chooser.usual, use=use)),
            "list": (bike_table.title(use), urls.link(path, urls.use(use))),
        },
    )


def _leaf(renderer: Renderer, rule: Rule, answers: Answers) -> Page:
    path, chooser = leaf(answers), rule.chooser
    road = next(each for each in chooser.roads if each.id == answers.hills)
    use = bike_table.title(answers.use)
    ranking = rule.rank(answers)
    return Page(
        path=path,
        template="choose_leaf.html",
        title=f"{use}, {road.name}, {_budget(chooser, answers)}",
        description=f"Which bikes fit: {use.lower()}, on roads like {road.name}, {_budget(chooser, answers)}.",
        above=((TITLE, urls.CHOOSE), (use, step(answers.use))),
        values={
            "result": result(renderer, rule, answers, ranking, path),
            "assumed": _assumed(chooser, answers),
            "form": urls.link(path, urls.CHOOSE) + query(chooser, answers),
            "rule": urls.link(path, f"{urls.CHOOSE}#rule"),
            "list": (use, urls.link(path, urls.use(answers.use))),
            "cautions_shown": _cautions(renderer, ranking),
        },
    )


def _cautions(renderer: Renderer, ranking: Ranking) -> tuple[str, ...]:
    listed = {place.bike.slug for place in ranking.places}
    fast = any(
        cautions.FAST in cautions.beside("feel", bike)
        for bike in renderer.table.bikes
        if bike.slug in listed
    )
    return (*CAUTIONS, cautions.FAST) if fast else CAUTIONS


def _budget(chooser: Chooser, answers: Answers) -> str:
    if not answers.budget:
        return "no limit of money"
    return f"up to {show.join(show.digits(float(answers.budget), 0), chooser.currency)}"


def _assumed(chooser: Chooser, answers: Answers) -> list[tuple[str, str]]:
    """The questions that a plain page does not ask, with the answers that it takes."""
    return [
        (each.words, _answer(each, answers))
        for each in questions(chooser)
        if each.id not in ("use", "hills", "budget")
    ]


def _answer(question: Question, answers: Answers) -> str:
    given = getattr(answers, question.id)
    return next(each.words for each in question.answers if each.id == given)


def _knots(wish: Wish) -> str:
    """The points of a wish in words: `16 kg (35 lb): 1; 25 kg (55 lb): 0`."""
    if wish.id in RATIOS or wish.unit is units.RATIO:
        return "; ".join(f"{at:g}: {fit:g}" for at, fit in wish.knots)
    if wish.unit is units.SECONDS:
        return "; ".join(f"{at:g} s: {fit:g}" for at, fit in wish.knots)
    return "; ".join(f"{show.in_both(at, wish.unit)}: {fit:g}" for at, fit in wish.knots)
