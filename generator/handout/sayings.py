"""A sheet of numbers to say aloud, each with what it holds for and how the page shows it."""

from collections.abc import Iterator
from dataclasses import dataclass

from generator.figures.model import Figure
from generator.handout.conditions import spoken
from generator.handout.describe import plain
from generator.handout.speech import Voice
from generator.handout.subject import Subject
from generator.pages.compare.comparison import called
from generator.pages.compare.differences import verdict
from generator.pages.frame.numbers import in_system
from generator.pages.frame.renderer import Renderer

WHOSE = {"claimed": "as maker or seller states it", "measured": "as we measured it"}
"""Said along with a figure that was not worked out, by its basis."""


@dataclass(frozen=True)
class Saying:
    title: str
    say: str
    """Value and interval in words."""
    condition: str
    """To be said along: for whom and where it holds, and whose it is where nobody worked it out; may be empty."""
    shown: str
    """As the page shows it, with its basis."""
    figure: Figure


@dataclass(frozen=True)
class Group:
    """Sayings under one heading: a bike's name, or a figure's title where bikes are compared."""

    title: str
    sayings: tuple[Saying, ...]
    verdict: str = ""


def groups(renderer: Renderer, subject: Subject) -> list[Group]:
    """All that can be said of a subject, in its order."""
    voice = Voice(renderer.system, renderer.settings.language)
    said = [figure for figure in subject.figures if voice.can_say(figure)]
    if subject.sort == "comparison":
        return list(_compared(renderer, subject, voice, said))
    found = []
    for bike in subject.bikes:
        own = [figure for figure in said if figure.bike == bike.slug]
        sayings = tuple(_saying(renderer, voice, figure, figure.kind.title) for figure in own)
        if sayings:
            found.append(Group(bike.full_name, sayings))
    return found


def _compared(
    renderer: Renderer, subject: Subject, voice: Voice, said: list[Figure]
) -> Iterator[Group]:
    names = {bike.slug: bike.full_name for bike in subject.bikes}
    for id in dict.fromkeys(figure.id for figure in said):
        own = [figure for figure in said if figure.id == id]
        all_of = [renderer.table.get(bike.slug, id) for bike in subject.bikes]
        words = verdict(all_of, called(subject.bikes)).words
        yield Group(
            own[0].kind.title,
            tuple(_saying(renderer, voice, figure, names[figure.bike]) for figure in own),
            words[:1].upper() + words[1:],
        )


def _saying(renderer: Renderer, voice: Voice, figure: Figure, title: str) -> Saying:
    return Saying(
        title,
        voice.saying(figure),
        ", ".join(
            filter(
                None,
                (spoken(figure, renderer.content, renderer.system), WHOSE.get(figure.basis, "")),
            )
        ),
        plain(f"{in_system(figure, renderer.system, True)} ({figure.basis})"),
        figure,
    )


def as_text(subject: Subject, found: list[Group]) -> str:
    """The sheet as plain text."""
    lines = [f"Numbers to say: {subject.title}"]
    if subject.told:
        lines += ["", "Say first", *(f"    {words}" for words in subject.told)]
    for group in found:
        lines += ["", group.title + (f" ({group.verdict})" if group.verdict else "")]
        for saying in group.sayings:
            lines += ["", f"  {saying.title}", f"    {saying.say}"]
            lines += [f"    {saying.condition}"] if saying.condition else []
            lines += [f"    [{saying.shown}]"]
    return "\n".join(lines) + "\n"
