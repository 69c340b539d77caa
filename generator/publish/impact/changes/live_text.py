"""Compares texts of two states: the figures that they print, their tested sentences, their problems.

* compare_live_figures   figures in texts that read differently
* register_sentences     registers a function that returns tested sentences
* check_sentences        all tested sentences of a state
* find_broken_sentences  tested sentences that are no longer true
* find_affected_texts    files of texts whose problems may differ between two states
* check_texts            problems in texts
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
from generator.pages.prose.functions import TextVocabulary
from generator.pages.prose.language import Budget, OverBudgetError, compile_body
from generator.pages.prose.pieces import WordUseError
from generator.publish.impact.changes.moves import format_figure
from generator.publish.impact.model import BrokenSentence, LiveFigureChange
from generator.specs.problems import Problem

SentenceResults = dict[str, tuple[str, bool]]
"""Sentence and whether it is true, by `file:line` or `file:line.number`."""
SentenceSource = Callable[[FiguresTable, Content], SentenceResults]

SENTENCE_SOURCES: list[SentenceSource] = []


def register_sentences(function: SentenceSource) -> SentenceSource:
    """Register a function that returns tested sentences, given table and content."""
    SENTENCE_SOURCES.append(function)
    return function


@register_sentences
def check_text_sentences(table: FiguresTable, content: Content) -> SentenceResults:
    """Every sentence in a text with a condition on figures; several on one line are numbered."""
    found: SentenceResults = {}
    for text in content.texts:
        for number, each in enumerate(prose_render.find_tested_sentences(text, table, content)):
            place = f"{text.file}:{text.body_line + each.line - 1}"
            found[f"{place}.{number}" if place in found else place] = (each.text, each.holds)
    return found


def check_sentences(table: FiguresTable, content: Content) -> SentenceResults:
    """Tested sentences from every registered source."""
    found: SentenceResults = {}
    for function in SENTENCE_SOURCES:
        found |= function(table, content)
    return found


_NUMBERS = re.compile(r"\d[\d.,\u202f]*")


def find_broken_sentences(
    before: SentenceResults, after: SentenceResults
) -> tuple[BrokenSentence, ...]:
    """Sentences that are not true now and were not already untrue before.

    A sentence is recognized by its file and its words without numbers, which may be live.
    """
    false_before = {
        (_extract_file(place), _NUMBERS.sub("", text))
        for place, (text, holds) in before.items()
        if not holds
    }
    found = []
    for place, (text, holds) in after.items():
        if not holds and (_extract_file(place), _NUMBERS.sub("", text)) not in false_before:
            line = place.rpartition(":")[2].partition(".")[0]
            found.append(
                BrokenSentence(_extract_file(place), int(line) if line.isdigit() else 0, text)
            )
    return tuple(sorted(found, key=lambda each: (each.file, each.line, each.text)))


def _extract_file(place: str) -> str:
    """The file in `file:line`."""
    return place.rpartition(":")[0]


def compare_live_figures(
    before: FiguresTable,
    after: FiguresTable,
    content: Content,
    renamed: Mapping[str, str],
    moved: set[str],
    system: show.UnitSystem,
) -> tuple[LiveFigureChange, ...]:
    """Every figure that a text of the later content names and that reads differently than before.

    `renamed` maps later slugs to earlier ones; `moved` are the later slugs of bikes with changed figures. Only texts
    that contain such a slug or choose bikes by a rule are evaluated: live text cannot put a slug together.
    """
    found: dict[tuple[str, int, str, str], LiveFigureChange] = {}
    for text in content.texts:
        if "bikes(" not in text.body and not any(slug in text.body for slug in moved):
            continue
        for line, bike, figure, interval in _find_printed_figures(text, after, content):
            words = format_figure if interval else format_value
            old = words(before.get(renamed.get(bike, bike), figure), system)
            new = words(after.get(bike, figure), system)
            if bike in moved and old != new:
                at = (text.file, text.body_line + line - 1, bike, figure)
                found[at] = LiveFigureChange(*at, old or "not known", new or "not known")
    return tuple(found[at] for at in sorted(found))


def format_value(figure: Figure | None, system: show.UnitSystem) -> str:
    """The shown value without its interval; empty if there is no figure."""
    return show.format_figure(figure, system) if figure else ""


class PrintedFigure(NamedTuple):
    """A figure that a text prints."""

    line: int
    """Line of the text's body."""
    bike: str
    """Slug."""
    figure: str
    """Id."""
    interval: bool
    """Does the text print the interval too?"""


def _find_printed_figures(text: Text, table: FiguresTable, content: Content) -> list[PrintedFigure]:
    """Every figure that a text prints, found by evaluating it with functions that only take notes."""
    printed: list[PrintedFigure] = []
    words = TextVocabulary(table, content, depth=1, draw=lambda bike, name, heading: Markup("-"))
    budget = Budget()

    def figure(bike: Any = "", figure: Any = "", interval: Any = False, *, line_: int = 1) -> str:
        printed.append(PrintedFigure(line_, str(bike), str(figure), bool(interval)))
        return ""

    def rows(bikes: Any = (), figures: Any = (), caption: Any = "", *, line_: int = 1) -> str:
        if isinstance(bikes, (list, tuple)) and isinstance(figures, (list, tuple)):
            printed.extend(
                PrintedFigure(line_, str(bike), str(each), False)
                for bike in bikes
                for each in figures
            )
        return ""

    def chosen(*given: Any, line_: int = 1, **keyed: Any) -> str:
        with suppress(WordUseError, TypeError):
            printed.extend(
                PrintedFigure(line_, *each, False)
                for each in words.queries.list_printed_figures(*given, **keyed)
            )
        return ""

    spoken = words.list_functions(budget) | {"figure": figure, "table": rows, "bikes": chosen}
    template, _ = compile_body(text.body, spoken)
    if template is not None:
        # An error that stops a text is reported among its problems; figures named before it count.
        with suppress(OverBudgetError, TemplateError, TypeError, ValueError):
            for piece in template.generate():
                budget.count_characters(piece, 1)
    return printed


def check_texts(texts: Iterable[Text], table: FiguresTable, content: Content) -> Iterator[Problem]:
    """Problems in texts. Charts are not drawn, only checked for data."""

    def draw(bike: str, name: str, heading: str) -> Markup:
        system: show.UnitSystem = "us" if content.settings.units == "us" else "metric"
        return Markup("-" if embed.find_definition(name).rows(table, bike, system) else "")

    for text in texts:
        yield from prose_render.render_text(
            text, table, content, depth=1, link_terms=False, draw=draw
        )[1]


_CHART_CALL = re.compile(r"\b(?:chart|diagram)\s*\(")


def find_affected_texts(
    before: tuple[FiguresTable, Content], after: tuple[FiguresTable, Content], changed: set[str]
) -> set[str]:
    """Files of texts whose problems may differ between the states.

    Either the text itself or the names that texts can use differ, or a bike changed and the text draws it in a chart
    or has tested sentences, or the text is a running list, which may become empty.

    `changed` are the earlier and later slugs of bikes whose data differ.
    """
    old_texts = {text.file: text for text in before[1].texts}
    new_texts = {text.file: text for text in after[1].texts}
    files = old_texts.keys() | new_texts.keys()
    if _collect_names(*before) != _collect_names(*after):
        return set(files)
    return {
        file
        for file in files
        if old_texts.get(file) != new_texts.get(file)
        or (changed and "endholds" in new_texts[file].body)
        or isinstance(new_texts[file], RunningList)
        or (
            _CHART_CALL.search(new_texts[file].body)
            and any(slug in new_texts[file].body for slug in changed)
        )
    }


def _collect_names(table: FiguresTable, content: Content) -> tuple[set[str], set[str], set[str]]:
    """The slugs, figure ids and terms that a text can name."""
    return (
        {bike.slug for bike in table.bikes},
        set(table.kinds),
        {term.slug for term in content.terms},
    )
