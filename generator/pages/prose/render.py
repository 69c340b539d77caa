"""Live text to safe HTML: Jinja in a narrow language, then Markdown, then an allow-list.

* render_text    HTML of a guide, page or glossary term with live figures, and the problems in it
* find_tested_sentences    the tested sentences of a text, and whether they hold

Modules: `language` (the Jinja allowed), `functions` (figure, bike, term, table, chart, diagram), `holds_block`,
`claims`, `tested_sentences` and `since` (sentences tested against the figures), `markdown_html` (Markdown and the
allow-list), `tree` (figures and glossary links inserted).
"""

import re
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING

from jinja2 import TemplateError
from markupsafe import Markup

from generator.content.model import CHANGELOG, Content, RunningList, Term, Text
from generator.figures.criteria import running_lists
from generator.pages.notices.disclosure import describe_undisclosed_link
from generator.pages.notices.disclosure_guard import LinksToDisclose
from generator.pages.prose import (
    examples,
    glossary_links,
    markdown_html,
    superlatives,
    tested_sentences,
    tree,
)
from generator.pages.prose.functions import DrawChart, TextVocabulary
from generator.pages.prose.language import Budget, OverBudgetError, TextFault, compile_body
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
"""Most of each character in one paragraph; the time of Python-Markdown grows with their square."""
_MOST_PARAGRAPHS = 5000
"""Most in one text; the time for headings and definition lists grows with the square of their number."""
_MOST_BRACKETS = 6000
"""Most `[` and `<` in one text."""


def render_text(
    text: Text,
    table: "FiguresTable",
    content: Content,
    *,
    depth: int,
    link_terms: bool = True,
    draw: DrawChart | None = None,
    root: Path | None = None,
) -> tuple[str, list[Problem]]:
    """HTML of a text's body and the problems in it.

    `depth` is the number of folders from the page to the site's root; links go up by it.
    `link_terms` links the first use of each glossary term. `draw` renders charts, if the caller
    caches them. `root` is the publication's folder, if problems may name lines of spec files.
    With an error the HTML is what could be rendered, which may be nothing.
    """
    budget = Budget()
    words = TextVocabulary(table, content, depth=depth, draw=draw)
    source: str = text.body
    dropped: list[TextFault] = []
    if isinstance(text, Term):
        source, dropped = examples.remove_lost_bikes(
            text.body, lambda slug: table.bike(slug) is not None
        )
    body, faults = _run_template(source, words, budget)
    if body is not None:
        body, found = tested_sentences.remove_untrue(source, body, words, content, root)
        faults += found
    if text.file != CHANGELOG:  # tells of what was true once
        faults += superlatives.find_untested(
            source, table, content.route.id if content.routes else ""
        )
    faults += _check_addresses(text.body, LinksToDisclose(content.links))
    html = ""
    if body is not None:
        terms = [term for term in content.term_index if term.link] if link_terms else []
        own = text.slug if isinstance(text, Term) else ""
        try:
            cleaned = markdown_html.render_markdown(
                body, lambda part: tree.replace_marks(part, words.pieces)
            )
            html = tree.insert_pieces(cleaned, words, terms=terms, without=own)
        except RecursionError:
            faults.append(
                TextFault(1, "quotes or lists are nested too deeply", "Write it more simply")
            )
    lines = text.body.split("\n")
    problems = {_make_problem(text, fault, lines) for fault in (*faults, *words.faults)}
    problems |= {_make_problem(text, fault, lines, "warning") for fault in dropped}
    if isinstance(text, Term):
        problems |= set(glossary_links.check_term(text, table))
    if isinstance(text, RunningList):
        problems |= set(running_lists.check_list(text, table))
    return html, sorted(problems)


def find_tested_sentences(
    text: Text, table: "FiguresTable", content: Content
) -> list[tested_sentences.TestedSentence]:
    """The tested sentences of a text in order; charts are not drawn."""
    if "endholds" not in text.body:
        return []
    words = TextVocabulary(table, content, depth=1, draw=lambda bike, name, heading: Markup("-"))
    markdown, _ = _run_template(text.body, words, Budget())
    return [] if markdown is None else tested_sentences.list_sentences(markdown, words)


def _run_template(
    body: str, words: TextVocabulary, budget: Budget
) -> tuple[str | None, list[TextFault]]:
    """The Markdown with marks in place of the words of live text."""
    nested = _NESTED.search(body)
    if nested:
        line = body.count("\n", 0, nested.start()) + 1
        mend = f"Keep under {_DEEPEST_QUOTE} levels"
        return None, [TextFault(line, "quotes or lists are nested too deeply", mend)]
    template, faults = compile_body(body, words.list_functions(budget))
    if template is None:
        return None, faults
    written: list[str] = []
    try:
        for piece in template.generate():
            budget.count_characters(piece, 1)
            written.append(piece)
    except OverBudgetError as error:
        return None, [
            TextFault(error.line, str(error), "Write it more simply, or in several texts")
        ]
    except (TemplateError, TypeError, ValueError) as error:
        what = f"the text cannot be worked out: {error}"
        return None, [TextFault(1, what, "Check its loops and conditions")]
    markdown = "".join(written)
    dense = _check_density(markdown, body)
    return (None, [dense]) if dense else (markdown, [])


def _check_density(markdown: str, body: str) -> TextFault | None:
    """A fault if the text has so many special characters that Markdown would take minutes."""
    mend = "Split the paragraph, or leave out what is not meant as Markdown"
    paragraphs = re.split(r"\n[ \t]*\n", markdown)
    for paragraph in paragraphs:
        for sign, most in _DENSEST.items():
            if paragraph.count(sign) > most:
                line = body.count("\n", 0, max(0, body.find(paragraph[:40]))) + 1
                shown = "line ends" if sign == "\n" else sign
                return TextFault(line, f"a paragraph holds more than {most} {shown}", mend)
    if len(paragraphs) > _MOST_PARAGRAPHS:
        what = f"the text holds more than {_MOST_PARAGRAPHS} paragraphs"
        return TextFault(1, what, "Write it in several texts")
    if markdown.count("[") + markdown.count("<") > _MOST_BRACKETS:
        return TextFault(1, f"the text holds more than {_MOST_BRACKETS} brackets", mend)
    return None


def _check_addresses(body: str, due: LinksToDisclose) -> list[TextFault]:
    """Faults of links and pictures whose address is not allowed, and of undisclosed links to sellers."""
    faults = []
    for number, line in enumerate(body.split("\n"), 1):
        for target in _TARGET.finditer(_CODE.sub(lambda code: " " * len(code[0]), line)):
            address = target[1] or target[2] or target[3] or target[4]
            reason = markdown_html.explain_unsafe(address)
            if reason:
                what = f"the link {address[:60]!r} is taken out: {reason}"
                mend = "Write https://… for another site, or a relative path such as ../../guides/"
                faults.append(TextFault(number, what, mend, address))
            elif link := due.find_link(unescape(address)):
                faults.append(TextFault(number, *describe_undisclosed_link(link), address))
    return faults


def _make_problem(
    text: Text, fault: TextFault, lines: list[str], severity: Severity = "error"
) -> Problem:
    line = lines[fault.line - 1] if 0 < fault.line <= len(lines) else ""
    column = fault.column or (line.find(fault.fragment) + 1 if fault.fragment else 0)
    severity = "warning" if fault.warning else severity
    return Problem(
        text.file, text.body_line + fault.line - 1, column, fault.what, fault.mend, severity
    )
