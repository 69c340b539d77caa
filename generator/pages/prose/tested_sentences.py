"""Tested sentences: those that do not hold are left out of the page and reported to their writer.

* TestedSentence     a tested sentence as plain text
* remove_untrue      the Markdown without untrue sentences, and the faults
* list_sentences    all tested sentences, with whether they hold
"""

from dataclasses import dataclass, replace
from pathlib import Path

from generator.content.model import Content
from generator.pages.prose import holds_block, tree
from generator.pages.prose.conditions import BlockRun
from generator.pages.prose.functions import MARK, TextVocabulary
from generator.pages.prose.language import TextFault
from generator.pages.prose.since import describe_moves
from generator.specs.yaml.located import quote_value

LEAVE_OUT = "leave out"
"""Value of the setting `untrue_sentences` with which a publication builds in spite of them."""


@dataclass(frozen=True)
class TestedSentence:
    """The text of a `holds` block, in plain words."""

    line: int
    """Line in the body, from 1."""
    text: str
    holds: bool


def remove_untrue(
    body: str, markdown: str, words: TextVocabulary, content: Content, root: Path | None
) -> tuple[str, list[TextFault]]:
    """The Markdown without untrue sentences, a fault for each of them, and a warning for each close call."""
    if not words.conditions.runs:
        return markdown, []
    keep = [_is_true(run) for run in words.conditions.runs]
    left, texts = holds_block.remove_blocks(markdown, keep)
    columns = holds_block.find_columns(body)
    leave_out = content.settings.untrue_sentences == LEAVE_OUT
    faults = []
    for number, run in enumerate(words.conditions.runs):
        column = columns[run.block] if run.block < len(columns) else 0
        if keep[number]:
            for close in run.claim.close:
                what = f"{close}: by the values alone the sentence is true"
                mend = "Say that they are close, or leave the comparison out"
                faults.append(TextFault(run.line, _replace_spaces(what), mend, "", column, True))
        elif not run.wrong:  # a fault of its own already
            sentence = quote_value(tree.replace_marks(texts.get(number, ""), words.pieces), 60)
            verdict = "not true" if run.claim.holds is False else "not known to be true"
            what = f"{sentence} is {verdict}: {run.claim.now}"
            if moved := describe_moves(
                words.figures, content.releases, run.claim.reads, words.system, root
            ):
                what += f"; {moved}"
            mend = "Say what holds now, or take the sentence out"
            mend += "; it is left out of the page" if leave_out else ""
            faults.append(TextFault(run.line, _replace_spaces(what), mend, "", column, leave_out))
    _forget_terms(left, words)
    return left, faults


def list_sentences(markdown: str, words: TextVocabulary) -> list[TestedSentence]:
    """Each tested sentence with its line and whether it holds; a wrongly written one does not."""
    keep = [_is_true(run) for run in words.conditions.runs]
    _, texts = holds_block.remove_blocks(markdown, keep)
    return [
        TestedSentence(
            run.line, tree.replace_marks(texts.get(number, ""), words.pieces), keep[number]
        )
        for number, run in enumerate(words.conditions.runs)
    ]


def _replace_spaces(words: str) -> str:
    """Words with plain spaces, as a terminal and a text search expect them."""
    return words.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", "")


def _is_true(run: BlockRun) -> bool:
    return run.claim.holds is True and not run.wrong


def _forget_terms(markdown: str, words: TextVocabulary) -> None:
    """Clear the terms of pieces left out with their sentence, whose links do not count as the first."""
    left = {int(mark[1]) for mark in MARK.finditer(markdown)}
    words.pieces[:] = [
        piece if number in left else replace(piece, term="")
        for number, piece in enumerate(words.pieces)
    ]
