"""The records of a spec file: certifications, claims, tests, rides, revisions, corrections."""

from datetime import date
from typing import Any

from generator.specs.bike import (
    Certification,
    Claims,
    Correction,
    MeasuredRide,
    OwnTest,
    RangeClaim,
    Revision,
    Ridden,
    Stated,
)
from generator.specs.stated import CheckedSpec, read_date, tidy_text

TEST_DIMENSIONS = {
    "mass": "mass",
    "rollout": "length",
    "top assisted speed": "speed",
    "braking distance": "length",
    "hill time": "time",
    "take-up angle": "angle",
}
"""Dimension of the value of each kind of own test."""


def build_certifications(spec: CheckedSpec) -> tuple[Certification, ...]:
    """Certifications of the bike, in the order of the file."""
    return tuple(
        Certification(
            standard=tidy_text(each["standard"]),
            scope=each["scope"],
            basis=each["basis"],
            edition=each.get("edition"),
            body=each.get("body"),
            number=each.get("number"),
            seen=read_date(each.get("seen")),
        )
        for each in spec.get_list("certifications")
    )


def build_claims(spec: CheckedSpec) -> Claims:
    """Range, hill and other claims of the maker."""
    low = spec.get_stated("length", "claims", "range", "low")
    high = spec.get_stated("length", "claims", "range", "high")
    conditions = spec.get("claims", "range", "conditions")
    return Claims(
        range=RangeClaim(low, high, conditions and tidy_text(conditions)) if low or high else None,
        hill=spec.get_stated("ratio", "claims", "hill"),
        other=tuple(map(tidy_text, spec.get_list("claims", "other"))),
    )


def build_tests(spec: CheckedSpec) -> tuple[OwnTest, ...]:
    """Own tests, in the order of the file."""
    found = []
    for at, each in enumerate(spec.get_list("tests")):
        on = _require_date(each)
        value = spec.get_measured(TEST_DIMENSIONS[each["what"]], on, "tests", at, "value")
        method, conditions = tidy_text(each["method"]), tidy_text(each["conditions"])
        found.append(OwnTest(each["what"], _require_value(value), on, method, conditions))
    return tuple(found)


def build_rides(spec: CheckedSpec) -> tuple[MeasuredRide, ...]:
    """Measured range rides, in the order of the file."""
    return tuple(_build_ride(spec, at, each) for at, each in enumerate(spec.get_list("rides")))


def _build_ride(spec: CheckedSpec, at: int, each: dict[str, Any]) -> MeasuredRide:
    on = _require_date(each)

    def measured(dimension: str, key: str) -> Stated | None:
        return spec.get_measured(dimension, on, "rides", at, key)

    return MeasuredRide(
        route=each["route"],
        rider=each["rider"],
        level=tidy_text(each["level"]),
        distance=_require_value(measured("length", "distance")),
        energy=measured("energy", "energy"),
        charge_share=measured("ratio", "charge_share"),
        date=on,
        temperature=measured("temperature", "temperature"),
        wind=measured("speed", "wind"),
        average_speed=measured("speed", "average_speed"),
        note=tidy_text(each.get("note", "")),
    )


def build_revisions(spec: CheckedSpec) -> tuple[Revision, ...]:
    """Revisions by the maker, oldest first."""
    found = []
    for at, each in enumerate(spec.get_list("revisions")):
        was = tuple(
            (key, spec.mapping.text(("revisions", at, "was", key)) or str(value))
            for key, value in each.get("was", {}).items()
        )
        found.append(Revision(_require_date(each), tidy_text(each["what"]), each["kind"], was))
    return tuple(sorted(found, key=lambda revision: revision.date))


def build_corrections(spec: CheckedSpec) -> tuple[Correction, ...]:
    """Corrections of stated values, oldest first."""
    found = []
    for at, each in enumerate(spec.get_list("corrections")):
        was = spec.mapping.text(("corrections", at, "was")) or str(each["was"])
        now = spec.mapping.text(("corrections", at, "now")) or str(each["now"])
        found.append(
            Correction(each["key"], was, now, tidy_text(each["reason"]), _require_date(each))
        )
    return tuple(sorted(found, key=lambda correction: correction.date))


def build_ridden(spec: CheckedSpec) -> Ridden:
    """How the reviewers know the bike."""
    return Ridden(
        state=spec.get("ridden", "state", default="sheet only"),
        relation=spec.get("ridden", "relation"),
        distance=spec.get_measured(
            "length", read_date(spec.get("ridden", "date")), "ridden", "distance"
        ),
        by=spec.get("ridden", "by"),
        route=spec.get("ridden", "route"),
        date=read_date(spec.get("ridden", "date")),
    )


def _require_date(each: dict[str, Any]) -> date:
    on = read_date(each["date"])
    assert on is not None, "the schema wants a date"
    return on


def _require_value(value: Stated | None) -> Stated:
    assert value is not None, "the schema wants a value"
    return value
