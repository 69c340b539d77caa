"""`content/links.yaml`: every commercial link that leads out, with what ties us to whom it leads to.

* read_links    the links and every problem
"""

import os
from pathlib import Path

from generator.content.files import outside
from generator.content.money.addresses import fault, place_of
from generator.content.money.read import RELATIONS, ShopLink
from generator.content.records import checked, day, repeated_ids, texts
from generator.specs.problems import Problem
from generator.specs.yaml.files import read_mapping
from generator.specs.yaml.located import Keys, Marked

FILE = "content/links.yaml"
_SAY = f"Add a line 'relation:' with one of {', '.join(RELATIONS)}"


def read_links(root: Path) -> tuple[tuple[ShopLink, ...], list[Problem]]:
    """Links in the order of the file; no file means no links."""
    path = root / "content" / "links.yaml"
    if not os.path.lexists(path):
        return (), []
    if refused := outside(path, root):
        return (), [refused]
    marked, problems = read_mapping(path, root)
    if marked is None:
        return (), problems
    problems += [each for each in checked(marked, root, "links") if not _of_relation(each)]
    problems += _unset(marked)
    if problems:
        return (), sorted(problems)
    problems += repeated_ids(marked, "links") + _addresses(marked)
    links = tuple(_link(marked, at) for at in range(len(marked.value["links"])))
    return links, problems


def _of_relation(problem: Problem) -> bool:
    """Is it what the schema says of a relation that is not there? `_unset` says it better."""
    return problem.what.endswith((" has no 'relation'", ".relation: has no value"))


def _unset(marked: Marked) -> list[Problem]:
    """Entries that do not say whether anybody gains by them."""
    entries = marked.value.get("links")
    problems = []
    for at, entry in enumerate(entries if isinstance(entries, list) else ()):
        if isinstance(entry, dict) and entry.get("relation") is None:
            what = (
                f"links[{at + 1}] does not say its relation, that is whether anybody here gains by it;"
                " nothing said is never taken as none"
            )
            problems.append(marked.problem(("links", at), what, _SAY))
    return problems


def _addresses(marked: Marked) -> list[Problem]:
    """Addresses that cannot stand, and one address with two relations."""
    problems = []
    first: dict[tuple[str, str], int] = {}
    entries = marked.value["links"]
    for at, entry in enumerate(entries):
        keys: Keys = ("links", at, "url")
        if wrong := fault(entry["url"]):
            problems.append(marked.problem(keys, f"url: {wrong[0]}", wrong[1]))
            continue
        place = place_of(entry["url"])
        assert place is not None, "a sound address has a host"
        before = first.setdefault(place, at)
        if entries[before]["relation"] != entry["relation"]:
            line = marked.where(("links", before, "url"))[0]
            what = f"the address on line {line} leads to the same place and has another relation"
            mend = "Give both the same: it is the same seller's page"
            problems.append(marked.problem(("links", at, "relation"), what, mend))
    return problems


def _link(marked: Marked, at: int) -> ShopLink:
    entry = marked.value["links"][at]
    seller, words = texts((entry["seller"], entry["words"]))
    return ShopLink(
        id=entry["id"],
        url=entry["url"],
        seller=seller,
        words=words,
        relation=entry["relation"],
        bike=entry.get("bike", ""),
        expires=day(entry["expires"]) if "expires" in entry else None,
        seen=day(entry["seen"]) if "seen" in entry else None,
        places=tuple((key, marked.where(("links", at, key))) for key in entry),
    )
