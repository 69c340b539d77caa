"""Cross-checks of plain texts: signs that a word processor puts in, and names that are none."""

from generator.specs.checks.facts import Facts
from generator.specs.yaml.located import shown

CURLY = ("“”", "„“", "„”", "‘’", "‚‘", "«»", "»«")
"""Pairs of quotation marks that YAML takes for letters."""


NAMED = ("cargo", "sources")
"""Groups whose keys are names that the file makes up, and that stand on the bike's page."""
LONGEST_NAME = 60
"""Of such a name, as of others. [characters]"""


def check_names(facts: Facts) -> None:
    for group in NAMED:
        for name in facts.group(group):
            if not name.strip():
                what, mend = f"a key in {group} has no name", "Write a name before the colon"
            elif len(name) > LONGEST_NAME:
                what = f"this name in {group} has {len(name)} characters"
                mend = f"Write it in {LONGEST_NAME} at most"
            else:
                continue
            facts.error((group, name), what, mend, at_key=True)


def check_texts(facts: Facts) -> None:
    """A text between curly quotation marks keeps them, on every page."""
    for keys, text in facts.marked.texts.items():
        if keys and len(text) > 1 and text[0] + text[-1] in CURLY:
            facts.warn(
                keys,
                f"the quotation marks of {shown(text)} are taken for a part of the text",
                f'Write "{text[1:-1]}" with straight ones, or none at all',
            )
