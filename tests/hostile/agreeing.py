"""What a spec file must agree on with itself and no schema says: drawn data are mended, not thrown away.

* agreeing    the data, so mended
"""

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any

from hypothesis import strategies as st

from generator.specs.checks.assist import LIMITS
from generator.specs.checks.records import OUR_OWN
from generator.specs.quantity import parse_quantity
from generator.specs.yaml.keypath import find_keys, list_keys

Spec = dict[str, Any]
ROUTES, RIDERS = ("flat", "rolling", "hilly", "nowhere"), ("everyday", "nobody")
"""Ids of the demo's content, and such as nobody has."""


def agreeing(draw: st.DrawFn, spec: Spec) -> Spec:
    for mend in (_masses, _powers, _range_claim, _gears, _levels):
        mend(spec)
    _rides(draw, spec)
    _ridden(draw, spec)
    _names(draw, spec)
    return spec


def _si(words: Any, dimension: str) -> float:
    return parse_quantity(str(words), dimension).value


def _rising(group: Any, less: str, more: str, dimension: str) -> None:
    """Exchange two quantities that stand the wrong way round."""
    if isinstance(group, dict) and less in group and more in group:
        pair = sorted((group[less], group[more]), key=lambda words: _si(words, dimension))
        group[less], group[more] = pair


def _masses(spec: Spec) -> None:
    _rising(spec, "mass", "permitted_mass", "mass")
    if {"mass", "permitted_mass"} <= spec.keys() and (
        _si(spec["mass"], "mass") >= _si(spec["permitted_mass"], "mass")
    ):
        del spec["permitted_mass"]


def _powers(spec: Spec) -> None:
    _rising(spec["motor"], "rated_power", "peak_power", "power")


def _range_claim(spec: Spec) -> None:
    _rising((spec.get("claims") or {}).get("range"), "low", "high", "length")


def _gears(spec: Spec) -> None:
    train = spec["drivetrain"]
    for key in ("chainrings", "cogs", "hub_ratios"):
        if key in train:
            train[key] = sorted(set(train[key]))


def _levels(spec: Spec) -> None:
    """Names of their own, and each limit rising from level to level."""
    levels = (spec["assist"] or {}).get("levels") or []
    for number, level in enumerate(levels):
        if any(level["name"] == other["name"] for other in levels[:number]):
            level["name"] = f"{level['name'][:37]} {number}"
    for key, dimension in LIMITS.items():
        having = [level for level in levels if key in level]
        limits = sorted((level[key] for level in having), key=_by(dimension))
        for level, limit in zip(having, limits, strict=True):
            level[key] = limit
        assert all(_by(dimension)(one) <= _by(dimension)(other) for one, other in pairwise(limits))


def _by(dimension: str) -> Callable[[Any], float]:
    return lambda words: _si(words, dimension)


def _rides(draw: st.DrawFn, spec: Spec) -> None:
    """Rides name a level of the bike; most of them routes and riders that there are."""
    names = [level["name"] for level in (spec["assist"] or {}).get("levels") or []]
    if not names:
        spec.pop("rides", None)
    for ride in spec.get("rides") or []:
        ride["level"] = draw(st.sampled_from(names))
        ride["route"] = draw(st.sampled_from(ROUTES))
        ride["rider"] = draw(st.sampled_from(RIDERS))


def _ridden(draw: st.DrawFn, spec: Spec) -> None:
    """A bike that was ridden says on what terms."""
    ridden = spec.get("ridden")
    if ridden and ridden["state"] != "sheet only":
        ridden.setdefault("relation", draw(st.sampled_from(("none", "gifted", "loaned", "paid"))))


def _names(draw: st.DrawFn, spec: Spec) -> None:
    """Dotted keys name what the file states, and sources what it lists."""
    stated = {key: below for key, below in spec.items() if key not in OUR_OWN}
    keys = [
        words
        for words in list_keys(stated)
        if len(words) <= 200
        and words.split(".")[0] not in OUR_OWN
        and find_keys(spec, words) is not None
    ]
    if "stated_by" in spec:
        spec["stated_by"] = _exchanged(draw, spec["stated_by"], keys)
        for words in spec["stated_by"]:
            spec["stated_by"][words] = draw(st.sampled_from(list(spec["sources"])))
    for revision in spec.get("revisions") or []:
        if "was" in revision:
            revision["was"] = _exchanged(draw, revision["was"], keys)
    for correction in spec.get("corrections") or []:
        correction["key"] = draw(st.sampled_from(keys))


def _exchanged(draw: st.DrawFn, group: Spec, keys: Sequence[str]) -> Spec:
    return {draw(st.sampled_from(keys)): value for value in group.values()}
