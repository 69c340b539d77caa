"""Texts that say something else because figures moved, and the problems in texts.

* live_figures    figures named in texts that now read otherwise
* sentences       registers a source of tested sentences
* broken          tested sentences that hold no more
* text_problems   what is wrong in texts, as far as it can differ between two states
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from typing import Any, NamedTuple

from jinja2 import TemplateError
from markupsafe import Markup

from generator.charts import embed
from generator.content.model import Content, RunningList, Text
from generator.figures import show
from generator.figures.model import Figure
from generator.figures.table.figures_table import FiguresTable
from generator.pages.prose import render as prose_render
from generator.pages.prose.functions import Words
from generator.pages.prose.language import Budget, TooMuchError, compiled
from generator.pages.prose.pieces import WrongError
from generator.publish.impact.model import LiveFigure, Sentence
from generator.publish.impact.moves import shown
from generator.specs.problems import Problem

Tested = dict[str, tuple[str, bool]]
"""From `file:line`, or `file:line.number`, to the sentence and whether it holds."""
SentenceSource = Callable[[FiguresTable, Content], Tested]

SENTENCES: list[SentenceSource] = []


def sentences(function: SentenceSource) -> SentenceSource:
    """Register a function that gives tested sentences of a table and its content."""
    SENTENCES.append(function)
    return function


@sentences
def of_texts(table: FiguresTable, content: Content) -> Tested:
    """Every sentence that a text holds against the figures; several on one line are numbered."""
    found: Tested = {}
    for text in content.texts:
        for number, each in enumerate(prose_render.tested(text, table, content)):
            place = f"{text.file}:{text.body_line + each.line - 1}"
            found[f"{place}.{number}" if place in found else place] = (each.text, each.holds)
    return found


def tested(table: FiguresTable, content: Content) -> Tested:
    found: Tested = {}
    for function in SENTENCES:
        found |= function(table, content)
    return found


_NUMBERS = re.compile(r"\d[\d.,\u202f]*")


def broken(before: Tested, after: Tested) -> tuple[Sentence, ...]:
    """Sentences that do not hold, unless they did not before either.

    A sentence is known by its file and its words without the numbers in them, which may be live.
    """
    false_before = {
        (_file(place), _NUMBERS.sub("", text))
        for place, (text, holds) in before.items()
        if not holds
    }
    found = []
    for place, (text, holds) in after.items():
        if not holds and (_file(place), _NUMBERS.sub("", text)) not in false_before:
            line = place.rpartition(":")[2].partition(".")[0]
            found.append(Sentence(_file(place), int(line) if line.isdigit() else 0, text))
    return tuple(sorted(found, key=lambda each: (each.file, each.line, each.text)))


def _file(place: str) -> str:
    return place.rpartition(":")[0]


def live_figures(
    before: FiguresTable,
    after: FiguresTable,
    content: Content,
    renamed: Mapping[str, str],
    moved: set[str],
    system: show.System,
) -> tuple[LiveFigure, ...]:
    """Every figure that a text of the later content names and that reads otherwise than before.

    `renamed` is slug now to slug before, `moved` the slugs (now) of bikes with figures that moved. A slug stands
    in a text as it is, since live text knows no arithmetic, so other texts need not be worked out, but for those
    that choose their bikes.
    """
    found: dict[tuple[str, int, str, str], LiveFigure] = {}
    for text in content.texts:
        if "bikes(" not in text.body and not any(slug in text.body for slug in moved):
            continue
        for line, bike, figure, interval in _named(text, after, content):
            words = shown if interval else value_alone
            old = words(before.get(renamed.get(bike, bike), figure), system)
            new = words(after.get(bike, figure), system)
            if bike in moved and old != new:
                at = (text.file, text.body_line + line - 1, bike, figure)
                found[at] = LiveFigure(*at, old or "not known", new or "not known")
    return tuple(found[at] for at in sorted(found))


def value_alone(figure: Figure | None, system: show.System) -> str:
    return show.text(figure, system) if figure else ""


class Named(NamedTuple):
    """A number that a text prints."""

    line: int
    """Of the body."""
    bike: str
    figure: str
    interval: bool


def _named(text: Text, table: FiguresTable, content: Content) -> list[Named]:
    named: list[Named] = []
    words = Words(table, content, depth=1, draw=lambda bike, name, heading: Markup("-"))
    budget = Budget()

    def figure(bike: Any = "", figure: Any = "", interval: Any = False, *, line_: int = 1) -> str:
        named.append(Named(line_, str(bike), str(figure), bool(interval)))
        return ""

    def rows(bikes: Any = (), figures: Any = (), caption: Any = "", *, line_: int = 1) -> str:
        if isinstance(bikes, (list, tuple)) and isinstance(figures, (list, tuple)):
            named.extend(
                Named(line_, str(bike), str(each), False) for bike in bikes for each in figures
            )
        return ""

    def chosen(*given: Any, line_: int = 1, **keyed: Any) -> str:
        with suppress(WrongError, TypeError):
            named.extend(Named(line_, *each, False) for each in words.chosen.named(*given, **keyed))
        return ""

    spoken = words.globals(budget) | {"figure": figure, "table": rows, "bikes": chosen}
    template, _ = compiled(text.body, spoken)
    if template is not None:
        # What stops a text is told among its problems; what it named up to there counts.
        with suppress(TooMuchError, TemplateError, TypeError, ValueError):
            for piece in template.generate():
                budget.written(piece, 1)
    return named


def text_problems(
    texts: Iterable[Text], table: FiguresTable, content: Content
) -> Iterator[Problem]:
    """What is wrong in texts. A chart is asked whether it has something to draw, but not drawn."""

    def draw(bike: str, name: str, heading: str) -> Markup:
        system: show.System = "us" if content.settings.units == "us" else "metric"
        return Markup("-" if embed.plate(name).rows(table, bike, system) else "")

    for text in texts:
        yield from prose_render.render(text, table, content, depth=1, link_terms=False, draw=draw)[
            1
        ]


_DRAWN = re.compile(r"\b(?:chart|diagram)\s*\(")


def suspects(
    before: tuple[FiguresTable, Content], after: tuple[FiguresTable, Content], changed: set[str]
) -> set[str]:
    """Files of texts whose problems may differ: the text itself, a name that it may use, a chart's bike is new,
    it holds sentences against figures, or it is a running list, which may stand empty.

    `changed` are the slugs, on either side, of bikes whose data differ.
    """
    old_texts = {text.file: text for text in before[1].texts}
    new_texts = {text.file: text for text in after[1].texts}
    files = old_texts.keys() | new_texts.keys()
    if _vocabulary(*before) != _vocabulary(*after):
        return set(files)
    return {
        file
        for file in files
        if old_texts.get(file) != new_texts.get(file)
        or (changed and "endholds" in new_texts[file].body)
        or isinstance(new_texts[file], RunningList)
        or (
            _DRAWN.search(new_texts[file].body)
            and any(slug in new_texts[file].body for slug in changed)
        )
    }


def _vocabulary(table: FiguresTable, content: Content) -> tuple[set[str], set[str], set[str]]:
    """All that a text can name."""
    return (
        {bike.slug for bike in table.bikes},
        set(table.kinds),
        {term.slug for term in content.terms},
    )
