"""The sheet of numbers to say aloud, each with its conditions and as the page shows it.

* build_groups     all sayings of a subject under headings
* format_as_text   the sheet as plain text
"""

from collections.abc import Iterator
from dataclasses import dataclass

from generator.figures.model import Figure
from generator.handout.conditions import say_conditions
from generator.handout.describe import to_plain_text
from generator.handout.speech import Voice
from generator.handout.subject import HandoutSubject
from generator.pages.compare.comparison import shorten_names
from generator.pages.compare.differences import compare_figures
from generator.pages.frame.numbers import format_in_system
from generator.pages.frame.renderer import Renderer

WHOSE = {"claimed": "as maker or seller states it", "measured": "as we measured it"}
"""Words said with a figure that was not computed, by its basis."""


@dataclass(frozen=True)
class Saying:
    """One figure to say aloud."""

    title: str
    say: str
    """Value and interval in words."""
    condition: str
    """Words to say with it: its conditions, and who states it if it was not computed; may be empty."""
    shown: str
    """The figure as the page shows it, with its basis."""
    figure: Figure


@dataclass(frozen=True)
class SayingGroup:
    """Sayings under one heading: a bike's name, or a figure's title in a comparison."""

    title: str
    sayings: tuple[Saying, ...]
    verdict: str = ""


def build_groups(renderer: Renderer, subject: HandoutSubject) -> list[SayingGroup]:
    """Sayings of all figures of a subject, in its order."""
    voice = Voice(renderer.system, renderer.settings.language)
    said = [figure for figure in subject.figures if voice.can_say(figure)]
    if subject.sort == "comparison":
        return list(_build_comparison_groups(renderer, subject, voice, said))
    found = []
    for bike in subject.bikes:
        own = [figure for figure in said if figure.bike == bike.slug]
        sayings = tuple(_build_saying(renderer, voice, figure, figure.kind.title) for figure in own)
        if sayings:
            found.append(SayingGroup(bike.full_name, sayings))
    return found


def _build_comparison_groups(
    renderer: Renderer, subject: HandoutSubject, voice: Voice, said: list[Figure]
) -> Iterator[SayingGroup]:
    names = {bike.slug: bike.full_name for bike in subject.bikes}
    for id in dict.fromkeys(figure.id for figure in said):
        own = [figure for figure in said if figure.id == id]
        all_of = [renderer.table.get(bike.slug, id) for bike in subject.bikes]
        words = compare_figures(all_of, shorten_names(subject.bikes)).words
        yield SayingGroup(
            own[0].kind.title,
            tuple(_build_saying(renderer, voice, figure, names[figure.bike]) for figure in own),
            words[:1].upper() + words[1:],
        )


def _build_saying(renderer: Renderer, voice: Voice, figure: Figure, title: str) -> Saying:
    return Saying(
        title,
        voice.say_figure(figure),
        ", ".join(
            filter(
                None,
                (
                    say_conditions(figure, renderer.content, renderer.system),
                    WHOSE.get(figure.basis, ""),
                ),
            )
        ),
        to_plain_text(f"{format_in_system(figure, renderer.system, True)} ({figure.basis})"),
        figure,
    )


def format_as_text(subject: HandoutSubject, found: list[SayingGroup]) -> str:
    """The sheet as plain text."""
    lines = [f"Numbers to say: {subject.title}"]
    if subject.disclosures:
        lines += ["", "Say first", *(f"    {words}" for words in subject.disclosures)]
    for group in found:
        lines += ["", group.title + (f" ({group.verdict})" if group.verdict else "")]
        for saying in group.sayings:
            lines += ["", f"  {saying.title}", f"    {saying.say}"]
            lines += [f"    {saying.condition}"] if saying.condition else []
            lines += [f"    [{saying.shown}]"]
    return "\n".join(lines) + "\n"
