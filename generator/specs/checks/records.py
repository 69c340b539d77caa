"""Cross-checks of sources, dotted keys and records."""

import difflib

from generator.specs.checks.facts import MOST, Facts
from generator.specs.yaml.keypath import LONGEST, known, resolve
from generator.specs.yaml.located import Keys, shown

OUR_OWN = {"sources", "stated_by", "corrections", "revisions", "ridden"}
"""Keys that state nothing about the bike, so nobody is quoted or corrected there."""


def check_sources(facts: Facts) -> None:
    """Each entry of `stated_by` names a value of this file and one of its sources."""
    sources = list(facts.group("sources"))
    for words, source in facts.group("stated_by").items():
        keys = ("stated_by", words)
        _check_key(facts, words, keys, at_key=True)
        if isinstance(source, str) and source not in sources:
            near = difflib.get_close_matches(source, sources, 1, 0.5)
            mend = f"Did you mean '{near[0]}'? " if near else ""
            mend += f"Write one of: {', '.join(sources[:12])}; or add '{source}' to sources"
            facts.error(keys, f"there is no source '{source}' in this file", mend)


def check_keys(facts: Facts) -> None:
    """Corrections and revisions name values of this file."""
    for at in range(len(facts.items("corrections"))):
        words = facts.word("corrections", at, "key")
        if words:
            _check_key(facts, words, ("corrections", at, "key"))
    for at in range(len(facts.items("revisions"))):
        for words in facts.group("revisions", at, "was"):
            _check_key(facts, words, ("revisions", at, "was", words), at_key=True)


def check_records(facts: Facts) -> None:
    """Rides name a level of this bike and say what they used; own tests have their source."""
    names = [
        facts.word("assist", "levels", at, "name")
        for at in range(len(facts.items("assist", "levels")))
    ]
    for at in range(len(facts.items("rides"))):
        level = facts.word("rides", at, "level")
        if level and level not in names:
            near = difflib.get_close_matches(level, names, 1, 0.4)
            mend = f"Did you mean '{near[0]}'? " if near else ""
            listed = ", ".join(filter(None, names[:12])) or "none: list them under assist.levels"
            facts.error(
                ("rides", at, "level"),
                f"there is no level '{level}' in assist.levels",
                f"{mend}The levels are {listed}",
            )
        if facts.one("rides", at, "energy") is None and (
            facts.one("rides", at, "charge_share") is None
        ):
            what = "this ride does not say what it took from the battery"
            facts.warn(
                ("rides", at), what, "Add energy, such as 262 Wh, or charge_share, such as 60 %"
            )
    kinds = [facts.word("sources", name, "kind") for name in facts.group("sources")]
    measured = facts.items("tests") or facts.items("rides")
    if measured and kinds and "own test" not in kinds:
        what = "there are tests or rides of your own, but no source of the kind 'own test'"
        mend = "Add to sources: 'own: {title: Our own measurements, kind: own test}'"
        facts.warn(("sources",), what, mend)


def check_relation(facts: Facts) -> None:
    """A bike that was ridden says on what terms it came; silence is never taken for "none"."""
    state = facts.word("ridden", "state")
    if state in ("ridden", "borrowed") and facts.one("ridden", "relation") is None:
        what = f"this bike was {state}, and nothing says on what terms"
        mend = (
            "Add to ridden 'relation: none' if it was bought or lent by somebody who does not sell it;"
            " else gifted, loaned or paid"
        )
        facts.error(("ridden",), what, mend)


def _check_key(facts: Facts, words: str, keys: Keys, *, at_key: bool = False) -> None:
    """A dotted key must name a value of this file."""
    top = words.split(".")[0]
    if top not in OUR_OWN and resolve(facts.marked.value, words) is not None:
        return
    stated = {key: below for key, below in facts.marked.value.items() if key not in OUR_OWN}
    choices = known(stated)[:MOST]
    near = [each for each in choices if each.endswith(f".{words}")]
    if not near and len(words) <= LONGEST:
        near = difflib.get_close_matches(words, choices, 1, 0.5)
    mend = f"Did you mean '{near[0]}'?" if near else "Write the keys from the top, joined by dots"
    mend += " Such a key is battery.charge or assist.levels.Even.ratio"
    facts.error(keys, f"{shown(words)} names nothing that this file states", mend, at_key=at_key)
