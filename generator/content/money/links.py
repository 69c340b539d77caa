"""`content/links.yaml`: links to sellers, with the publication's relation to each.

* read_links    reads the links and every problem
"""

import os
from pathlib import Path

from generator.content.files import check_inside_content
from generator.content.money.addresses import find_address_fault, find_place
from generator.content.money.read import RELATIONS, ShopLink
from generator.content.records import check_mapping, find_repeated_ids, read_date, tidy_texts
from generator.specs.problems import Problem
from generator.specs.yaml.files import read_mapping
from generator.specs.yaml.located import Keys, LocatedMapping

FILE = "content/links.yaml"
_ADVICE = f"Add a line 'relation:' with one of {', '.join(RELATIONS)}"


def read_links(root: Path) -> tuple[tuple[ShopLink, ...], list[Problem]]:
    """Links in the order of the file; no file means no links."""
    path = root / "content" / "links.yaml"
    if not os.path.lexists(path):
        return (), []
    if refused := check_inside_content(path, root):
        return (), [refused]
    mapping, problems = read_mapping(path, root)
    if mapping is None:
        return (), problems
    problems += [
        each for each in check_mapping(mapping, root, "links") if not _is_about_relation(each)
    ]
    problems += _check_relations(mapping)
    if problems:
        return (), sorted(problems)
    problems += find_repeated_ids(mapping, "links") + _check_addresses(mapping)
    links = tuple(_make_link(mapping, at) for at in range(len(mapping.value["links"])))
    return links, problems


def _is_about_relation(problem: Problem) -> bool:
    """Is it the schema's problem of a missing relation? `_check_relations` explains it better."""
    return problem.what.endswith((" has no 'relation'", ".relation: has no value"))


def _check_relations(mapping: LocatedMapping) -> list[Problem]:
    """A problem for each link without a relation."""
    entries = mapping.value.get("links")
    problems = []
    for at, entry in enumerate(entries if isinstance(entries, list) else ()):
        if isinstance(entry, dict) and entry.get("relation") is None:
            what = (
                f"links[{at + 1}] does not say its relation, that is whether anybody here gains by it;"
                " nothing said is never taken as none"
            )
            problems.append(mapping.make_problem(("links", at), what, _ADVICE))
    return problems


def _check_addresses(mapping: LocatedMapping) -> list[Problem]:
    """A problem for each address that cannot be a link, or that has two relations."""
    problems = []
    first: dict[tuple[str, str], int] = {}
    entries = mapping.value["links"]
    for at, entry in enumerate(entries):
        keys: Keys = ("links", at, "url")
        if wrong := find_address_fault(entry["url"]):
            problems.append(mapping.make_problem(keys, f"url: {wrong[0]}", wrong[1]))
            continue
        place = find_place(entry["url"])
        assert place is not None, "a sound address has a host"
        before = first.setdefault(place, at)
        if entries[before]["relation"] != entry["relation"]:
            line = mapping.where(("links", before, "url"))[0]
            what = f"the address on line {line} leads to the same place and has another relation"
            mend = "Give both the same: it is the same seller's page"
            problems.append(mapping.make_problem(("links", at, "relation"), what, mend))
    return problems


def _make_link(mapping: LocatedMapping, at: int) -> ShopLink:
    entry = mapping.value["links"][at]
    seller, words = tidy_texts((entry["seller"], entry["words"]))
    return ShopLink(
        id=entry["id"],
        url=entry["url"],
        seller=seller,
        words=words,
        relation=entry["relation"],
        bike=entry.get("bike", ""),
        expires=read_date(entry["expires"]) if "expires" in entry else None,
        seen=read_date(entry["seen"]) if "seen" in entry else None,
        places=tuple((key, mapping.where(("links", at, key))) for key in entry),
    )
