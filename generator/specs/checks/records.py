"""Cross-checks of sources, dotted keys and records."""

import difflib

from generator.specs.checks.facts import MOST, Facts
from generator.specs.yaml.keypath import LONGEST, find_keys, list_keys
from generator.specs.yaml.located import Keys, quote_value

OUR_OWN = {"sources", "stated_by", "corrections", "revisions", "ridden"}
"""Keys that state nothing about the bike, so they have neither sources nor corrections."""


def check_sources(facts: Facts) -> None:
    """Check that each entry of `stated_by` names a value of the file and one of its sources."""
    sources = list(facts.get_group("sources"))
    for words, source in facts.get_group("stated_by").items():
        keys = ("stated_by", words)
        _check_key(facts, words, keys, at_key=True)
        if isinstance(source, str) and source not in sources:
            near = difflib.get_close_matches(source, sources, 1, 0.5)
            mend = f"Did you mean '{near[0]}'? " if near else ""
            mend += f"Write one of: {', '.join(sources[:12])}; or add '{source}' to sources"
            facts.add_error(keys, f"there is no source '{source}' in this file", mend)


def check_keys(facts: Facts) -> None:
    """Check that corrections and revisions name values of the file."""
    for at in range(len(facts.get_list("corrections"))):
        words = facts.get_text("corrections", at, "key")
        if words:
            _check_key(facts, words, ("corrections", at, "key"))
    for at in range(len(facts.get_list("revisions"))):
        for words in facts.get_group("revisions", at, "was"):
            _check_key(facts, words, ("revisions", at, "was", words), at_key=True)


def check_records(facts: Facts) -> None:
    """Check that rides name a level of the bike and the energy used, and that own tests have a source."""
    names = [
        facts.get_text("assist", "levels", at, "name")
        for at in range(len(facts.get_list("assist", "levels")))
    ]
    for at in range(len(facts.get_list("rides"))):
        level = facts.get_text("rides", at, "level")
        if level and level not in names:
            near = difflib.get_close_matches(level, names, 1, 0.4)
            mend = f"Did you mean '{near[0]}'? " if near else ""
            listed = ", ".join(filter(None, names[:12])) or "none: list them under assist.levels"
            facts.add_error(
                ("rides", at, "level"),
                f"there is no level '{level}' in assist.levels",
                f"{mend}The levels are {listed}",
            )
        if facts.get("rides", at, "energy") is None and (
            facts.get("rides", at, "charge_share") is None
        ):
            what = "this ride does not say what it took from the battery"
            facts.add_warning(
                ("rides", at), what, "Add energy, such as 262 Wh, or charge_share, such as 60 %"
            )
    kinds = [facts.get_text("sources", name, "kind") for name in facts.get_group("sources")]
    measured = facts.get_list("tests") or facts.get_list("rides")
    if measured and kinds and "own test" not in kinds:
        what = "there are tests or rides of your own, but no source of the kind 'own test'"
        mend = "Add to sources: 'own: {title: Our own measurements, kind: own test}'"
        facts.add_warning(("sources",), what, mend)


def check_relation(facts: Facts) -> None:
    """Check that a ridden bike states the reviewers' relation to its maker; silence never means "none"."""
    state = facts.get_text("ridden", "state")
    if state in ("ridden", "borrowed") and facts.get("ridden", "relation") is None:
        what = f"this bike was {state}, and nothing says on what terms"
        mend = (
            "Add to ridden 'relation: none' if it was bought or lent by somebody who does not sell it;"
            " else gifted, loaned or paid"
        )
        facts.add_error(("ridden",), what, mend)


def _check_key(facts: Facts, words: str, keys: Keys, *, at_key: bool = False) -> None:
    """Check that a dotted key names a value of the file."""
    top = words.split(".")[0]
    if top not in OUR_OWN and find_keys(facts.mapping.value, words) is not None:
        return
    stated = {key: below for key, below in facts.mapping.value.items() if key not in OUR_OWN}
    choices = list_keys(stated)[:MOST]
    near = [each for each in choices if each.endswith(f".{words}")]
    if not near and len(words) <= LONGEST:
        near = difflib.get_close_matches(words, choices, 1, 0.5)
    mend = f"Did you mean '{near[0]}'?" if near else "Write the keys from the top, joined by dots"
    mend += " Such a key is battery.charge or assist.levels.Even.ratio"
    facts.add_error(
        keys, f"{quote_value(words)} names nothing that this file states", mend, at_key=at_key
    )
