"""The top of a bike's page: what a beginner asks first, each question with its figure, and what the law would call it."""

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from generator.figures.model import Figure
from generator.pages.frame import numbers
from generator.pages.frame.headlines import headlines, question
from generator.pages.frame.renderer import Renderer
from generator.pages.law import Law
from generator.specs.bike import Bike


@dataclass(frozen=True)
class Glance:
    """A question and its answer."""

    question: str
    answer: Markup
    """A number linked to its working, or a few words linked to the section that says more."""
    likely: Markup
    """The interval; empty when there is none."""
    words: str
    is_number: bool = True


def glances(
    renderer: Renderer, bike: Bike, path: str, law: Law | None, beside: Mapping[str, str]
) -> list[Glance]:
    """The headline figures that the bike has, in the order in which they are asked; the law comes last.

    `beside` are words for figures that have no sentence, by id.
    """
    figures = renderer.table.of(bike.slug)
    found = [
        Glance(
            question(kind),
            renderer.number(figure, path),
            numbers.likely_html(figure, first=renderer.system),
            _sentence(figure) or beside[figure.id],
        )
        for kind in headlines(figure.kind for figure in figures.values())
        if (figure := figures.get(kind.id))
    ]
    if law and law.here:
        first = law.here[0]
        answer = Markup('<a href="#law">{}</a>').format(_first_upper(first.short))
        words = f"By the rule of {first.region}, on the figures given"
        found.append(Glance("What is it in law?", answer, Markup(""), words, is_number=False))
    return found


def _sentence(figure: Figure) -> str:
    """What the figure means; a range names its road, since no title stands beside it."""
    _, comma, road = figure.kind.title.partition(", ")
    return figure.sentence.replace("this road", road) if comma else figure.sentence


def _first_upper(words: str) -> str:
    return words[:1].upper() + words[1:]
