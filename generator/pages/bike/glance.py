"""The top of a bike's page: a beginner's first questions, each with its figure, and the legal category."""

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures.model import Figure
from generator.pages.frame import numbers
from generator.pages.frame.headlines import find_question, select_headlines
from generator.pages.frame.renderer import Renderer
from generator.pages.law import BikeLaw
from generator.specs.bike import Bike


@dataclass(frozen=True)
class HeadlineAnswer:
    """A question and its answer."""

    question: str
    answer: Markup
    """A number, or a few words, linked to the part of the page that explains it."""
    likely: Markup
    """The interval; empty when there is none."""
    words: str
    """What the answer means, in a sentence."""
    is_number: bool = True


def answer_headlines(
    renderer: Renderer, bike: Bike, path: str, law: BikeLaw | None, ranks: Mapping[str, str]
) -> list[HeadlineAnswer]:
    """Return the bike's headline figures as questions and answers, in order; the law comes last.

    `ranks` holds words for figures that have no sentence, by id.
    """
    figures = renderer.table.figures_of(bike.slug)
    found = [
        HeadlineAnswer(
            find_question(kind),
            renderer.number(figure, path),
            numbers.likely_html(figure, first=renderer.system),
            _write_meaning(figure) or ranks[figure.id],
        )
        for kind in select_headlines(figure.kind for figure in figures.values())
        if (figure := figures.get(kind.id))
    ]
    if law and law.here:
        first = law.here[0]
        answer = Markup('<a href="#law">{}</a>').format(_capitalize_first(first.short))
        words = f"By the rule of {first.region}, on the figures given"
        found.append(
            HeadlineAnswer("What is it in law?", answer, Markup(""), words, is_number=False)
        )
    return found


def _write_meaning(figure: Figure) -> str:
    """Say what the figure means; a range names its road, since no title is shown beside it."""
    _, comma, road = figure.kind.title.partition(", ")
    return figure.sentence.replace("this road", road) if comma else figure.sentence


def _capitalize_first(words: str) -> str:
    return words[:1].upper() + words[1:]
