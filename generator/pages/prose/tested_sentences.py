"""Sentences that are tested: those that do not hold leave the page, and their writer hears why.

* settled      the Markdown without them, and what is wrong
* sentences    each that was tested, with the answer
"""

from dataclasses import dataclass, replace
from pathlib import Path

from generator.content.model import Content
from generator.pages.prose import holds_block, tree
from generator.pages.prose.conditions import Run
from generator.pages.prose.functions import MARK, Words
from generator.pages.prose.language import Fault
from generator.pages.prose.since import since
from generator.specs.yaml.located import shown

LEAVE_OUT = "leave out"
"""The setting `untrue_sentences` of publications that build all the same."""


@dataclass(frozen=True)
class Sentence:
    """What stands in a block, in plain words."""

    line: int
    """Of the body."""
    text: str
    holds: bool


def settled(
    body: str, markdown: str, words: Words, content: Content, root: Path | None
) -> tuple[str, list[Fault]]:
    """The Markdown without untrue sentences, a fault for each of them, and a warning for each close call."""
    if not words.asked.runs:
        return markdown, []
    keep = [_holds(run) for run in words.asked.runs]
    left, texts = holds_block.settled(markdown, keep)
    columns = holds_block.columns(body)
    leave_out = content.settings.untrue_sentences == LEAVE_OUT
    faults = []
    for number, run in enumerate(words.asked.runs):
        column = columns[run.block] if run.block < len(columns) else 0
        if keep[number]:
            for close in run.claim.close:
                what = f"{close}: by the values alone the sentence is true"
                mend = "Say that they are close, or leave the comparison out"
                faults.append(Fault(run.line, _typed(what), mend, "", column, True))
        elif not run.wrong:  # which is told already
            sentence = shown(tree.plain(texts.get(number, ""), words.pieces), 60)
            verdict = "not true" if run.claim.holds is False else "not known to be true"
            what = f"{sentence} is {verdict}: {run.claim.now}"
            if moved := since(words.figures, content.releases, run.claim.reads, words.system, root):
                what += f"; {moved}"
            mend = "Say what holds now, or take the sentence out"
            mend += "; it is left out of the page" if leave_out else ""
            faults.append(Fault(run.line, _typed(what), mend, "", column, leave_out))
    _forget_terms(left, words)
    return left, faults


def sentences(markdown: str, words: Words) -> list[Sentence]:
    """Each tested sentence with its line and whether it holds; those written wrongly do not."""
    keep = [_holds(run) for run in words.asked.runs]
    _, texts = holds_block.settled(markdown, keep)
    return [
        Sentence(run.line, tree.plain(texts.get(number, ""), words.pieces), keep[number])
        for number, run in enumerate(words.asked.runs)
    ]


def _typed(words: str) -> str:
    """With the spaces that a terminal and a search know."""
    return words.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", "")


def _holds(run: Run) -> bool:
    return run.claim.holds is True and not run.wrong


def _forget_terms(markdown: str, words: Words) -> None:
    """A link to the glossary that left the page with its sentence does not count as the first."""
    left = {int(mark[1]) for mark in MARK.finditer(markdown)}
    words.pieces[:] = [
        piece if number in left else replace(piece, term="")
        for number, piece in enumerate(words.pieces)
    ]
