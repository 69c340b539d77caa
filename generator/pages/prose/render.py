"""Live text to safe HTML: Jinja in a narrow language, then Markdown, then an allow-list.

* render    a guide, page or glossary term with its figures set in, and everything wrong with it
* tested    the sentences of a text that are tested, and whether they hold

Rooms: `prose_language` (what the Jinja may say), `prose_words` (figure, bike, term, table, chart, diagram),
`prose_holds`, `prose_claims`, `prose_tested` and `prose_since` (sentences that are tested against the figures),
`prose_markdown` (Markdown and the allow-list), `prose_tree` (figures and glossary links set in).
"""

import re
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING

from jinja2 import TemplateError
from markupsafe import Markup

from generator.content.model import Content, RunningList, Term, Text
from generator.figures.criteria import running_lists
from generator.pages.frame.disclosure import unmarked
from generator.pages.frame.disclosure_guard import Due
from generator.pages.prose import (
    examples,
    glossary_links,
    markdown_html,
    superlatives,
    tested_sentences,
    tree,
)
from generator.pages.prose.functions import Draw, Words
from generator.pages.prose.language import Budget, Fault, TooMuchError, compiled
from generator.specs.problems import Problem, Severity

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable

_TARGET = re.compile(
    r"""\]\(\s*<?([^\s)>]+)|\]:\s*<?([^\s>]+)|(?:href|src)\s*=\s*["']?([^"'>\s]+)|<(https?:[^\s>]+)>""",
    re.I,
)
_DEEPEST_QUOTE = 20
_NESTED = re.compile(rf"^(?:[ \t]*(?:>|[-*+][ \t]|\d+\.[ \t])){{{_DEEPEST_QUOTE},}}", re.MULTILINE)
_CODE = re.compile(r"(`{1,3})[^`]*\1")
_DENSEST = dict.fromkeys('[<`*_"\\\n', 1000) | {"|": 5000}
"""Of each sign in one paragraph. Python-Markdown takes time with their square."""
_MOST_PARAGRAPHS = 5000
"""Of one text; headings and terms of a list take time with the square of their number."""
_MOST_BRACKETS = 6000
"""Of `[` and `<` in one text."""


def render(
    text: Text,
    table: "FiguresTable",
    content: Content,
    *,
    depth: int,
    link_terms: bool = True,
    draw: Draw | None = None,
    root: Path | None = None,
) -> tuple[str, list[Problem]]:
    """HTML of a text's body and the problems in it.

    `depth` is the number of folders from the page to the site's root; links go up by it.
    `link_terms` links the first use of each glossary term. `draw` makes charts, where the caller
    has a cache of them. `root` is the publication, where a problem may name the
    line of a spec file. With an error the HTML is what could be rendered, which may be nothing.
    """
    budget = Budget()
    words = Words(table, content, depth=depth, draw=draw)
    source: str = text.body
    dropped: list[Fault] = []
    if isinstance(text, Term):
        source, dropped = examples.without_lost_bikes(
            text.body, lambda slug: table.bike(slug) is not None
        )
    body, faults = _worked_out(source, words, budget)
    if body is not None:
        body, found = tested_sentences.settled(source, body, words, content, root)
        faults += found
    if text is not content.changelog:  # tells of what was true once
        faults += superlatives.faults(source, table, content.route.id if content.routes else "")
    faults += _addresses(text.body, Due(content.links))
    html = ""
    if body is not None:
        terms = [term for term in content.terms if term.link] if link_terms else []
        own = text.slug if isinstance(text, Term) else ""
        try:
            cleaned = markdown_html.html_of(body, lambda part: tree.plain(part, words.pieces))
            html = tree.finished(cleaned, words, terms=terms, without=own)
        except RecursionError:
            faults.append(Fault(1, "quotes or lists are nested too deeply", "Write it more simply"))
    lines = text.body.split("\n")
    problems = {_problem(text, fault, lines) for fault in (*faults, *words.faults)}
    problems |= {_problem(text, fault, lines, "warning") for fault in dropped}
    if isinstance(text, Term):
        problems |= set(glossary_links.faults(text, table))
    if isinstance(text, RunningList):
        problems |= set(running_lists.faults(text, table))
    return html, sorted(problems)


def tested(text: Text, table: "FiguresTable", content: Content) -> list[tested_sentences.Sentence]:
    """The tested sentences of a text, in their order, without drawing a chart."""
    if "endholds" not in text.body:
        return []
    words = Words(table, content, depth=1, draw=lambda bike, name, heading: Markup("-"))
    markdown, _ = _worked_out(text.body, words, Budget())
    return [] if markdown is None else tested_sentences.sentences(markdown, words)


def _worked_out(body: str, words: Words, budget: Budget) -> tuple[str | None, list[Fault]]:
    """The Markdown with marks in place of the words of live text."""
    nested = _NESTED.search(body)
    if nested:
        line = body.count("\n", 0, nested.start()) + 1
        mend = f"Keep under {_DEEPEST_QUOTE} levels"
        return None, [Fault(line, "quotes or lists are nested too deeply", mend)]
    template, faults = compiled(body, words.globals(budget))
    if template is None:
        return None, faults
    written: list[str] = []
    try:
        for piece in template.generate():
            budget.written(piece, 1)
            written.append(piece)
    except TooMuchError as error:
        return None, [Fault(error.line, str(error), "Write it more simply, or in several texts")]
    except (TemplateError, TypeError, ValueError) as error:
        what = f"the text cannot be worked out: {error}"
        return None, [Fault(1, what, "Check its loops and conditions")]
    markdown = "".join(written)
    dense = _dense(markdown, body)
    return (None, [dense]) if dense else (markdown, [])


def _dense(markdown: str, body: str) -> Fault | None:
    """A fault when a paragraph holds so many signs that reading it would take minutes."""
    mend = "Split the paragraph, or leave out what is not meant as Markdown"
    paragraphs = re.split(r"\n[ \t]*\n", markdown)
    for paragraph in paragraphs:
        for sign, most in _DENSEST.items():
            if paragraph.count(sign) > most:
                line = body.count("\n", 0, max(0, body.find(paragraph[:40]))) + 1
                shown = "line ends" if sign == "\n" else sign
                return Fault(line, f"a paragraph holds more than {most} {shown}", mend)
    if len(paragraphs) > _MOST_PARAGRAPHS:
        what = f"the text holds more than {_MOST_PARAGRAPHS} paragraphs"
        return Fault(1, what, "Write it in several texts")
    if markdown.count("[") + markdown.count("<") > _MOST_BRACKETS:
        return Fault(1, f"the text holds more than {_MOST_BRACKETS} brackets", mend)
    return None


def _addresses(body: str, due: Due) -> list[Fault]:
    """Links and pictures whose address will be dropped, and links to sellers of which readers would not be told."""
    faults = []
    for number, line in enumerate(body.split("\n"), 1):
        for target in _TARGET.finditer(_CODE.sub(lambda code: " " * len(code[0]), line)):
            address = target[1] or target[2] or target[3] or target[4]
            reason = markdown_html.unsafe(address)
            if reason:
                what = f"the link {address[:60]!r} is taken out: {reason}"
                mend = "Write https://… for another site, or a relative path such as ../../guides/"
                faults.append(Fault(number, what, mend, address))
            elif link := due.link_of(unescape(address)):
                faults.append(Fault(number, *unmarked(link), address))
    return faults


def _problem(text: Text, fault: Fault, lines: list[str], severity: Severity = "error") -> Problem:
    line = lines[fault.line - 1] if 0 < fault.line <= len(lines) else ""
    column = fault.column or (line.find(fault.fragment) + 1 if fault.fragment else 0)
    severity = "warning" if fault.warning else severity
    return Problem(
        text.file, text.body_line + fault.line - 1, column, fault.what, fault.mend, severity
    )
