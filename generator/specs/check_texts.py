"""Cross-checks of plain texts: signs that a word processor puts in."""

from generator.specs.facts import Facts
from generator.specs.marked import shown

CURLY = ("“”", "„“", "„”", "‘’", "‚‘", "«»", "»«")
"""Pairs of quotation marks that YAML takes for letters."""


def check_texts(facts: Facts) -> None:
    """A text between curly quotation marks keeps them, on every page."""
    for keys, text in facts.marked.texts.items():
        if keys and len(text) > 1 and text[0] + text[-1] in CURLY:
            facts.warn(
                keys,
                f"the quotation marks of {shown(text)} are taken for a part of the text",
                f'Write "{text[1:-1]}" with straight ones, or none at all',
            )
