"""Cross-checks of texts: quotation marks from a word processor, and names that are empty or too long."""

from generator.specs.checks.facts import Facts
from generator.specs.yaml.located import quote_value

CURLY_QUOTES = ("“”", "„“", "„”", "‘’", "‚‘", "«»", "»«")
"""Pairs of quotation marks that YAML takes for letters."""


FREE_NAMES = ("cargo", "sources")
"""Groups whose keys are free names, which the bike's page shows."""
LONGEST_NAME = 60
"""Length of a name in those groups. [characters]"""


def check_names(facts: Facts) -> None:
    """Check that names in the groups `FREE_NAMES` are neither empty nor too long."""
    for group in FREE_NAMES:
        for name in facts.get_group(group):
            if not name.strip():
                what, mend = f"a key in {group} has no name", "Write a name before the colon"
            elif len(name) > LONGEST_NAME:
                what = f"this name in {group} has {len(name)} characters"
                mend = f"Write it in {LONGEST_NAME} at most"
            else:
                continue
            facts.add_error((group, name), what, mend, at_key=True)


def check_texts(facts: Facts) -> None:
    """Warn of texts in curly quotation marks, which would show on every page."""
    for keys, text in facts.mapping.texts.items():
        if keys and len(text) > 1 and text[0] + text[-1] in CURLY_QUOTES:
            facts.add_warning(
                keys,
                f"the quotation marks of {quote_value(text)} are taken for a part of the text",
                f'Write "{text[1:-1]}" with straight ones, or none at all',
            )
