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
from generator.specs.stated import Sheet, day, text

TEST_DIMENSIONS = {
    "mass": "mass",
    "rollout": "length",
    "top assisted speed": "speed",
    "braking distance": "length",
    "hill time": "time",
    "take-up angle": "angle",
}


def certifications(sheet: Sheet) -> tuple[Certification, ...]:
    return tuple(
        Certification(
            standard=text(each["standard"]),
            scope=each["scope"],
            basis=each["basis"],
            edition=each.get("edition"),
            body=each.get("body"),
            number=each.get("number"),
            seen=day(each.get("seen")),
        )
        for each in sheet.many("certifications")
    )


def claims(sheet: Sheet) -> Claims:
    low = sheet.stated("length", "claims", "range", "low")
    high = sheet.stated("length", "claims", "range", "high")
    conditions = sheet.one("claims", "range", "conditions")
    return Claims(
        range=RangeClaim(low, high, conditions and text(conditions)) if low or high else None,
        hill=sheet.stated("ratio", "claims", "hill"),
        other=tuple(map(text, sheet.many("claims", "other"))),
    )


def tests(sheet: Sheet) -> tuple[OwnTest, ...]:
    found = []
    for at, each in enumerate(sheet.many("tests")):
        on = _on(each)
        value = sheet.measured(TEST_DIMENSIONS[each["what"]], on, "tests", at, "value")
        method, conditions = text(each["method"]), text(each["conditions"])
        found.append(OwnTest(each["what"], _there(value), on, method, conditions))
    return tuple(found)


def rides(sheet: Sheet) -> tuple[MeasuredRide, ...]:
    return tuple(_ride(sheet, at, each) for at, each in enumerate(sheet.many("rides")))


def _ride(sheet: Sheet, at: int, each: dict[str, Any]) -> MeasuredRide:
    on = _on(each)

    def measured(dimension: str, key: str) -> Stated | None:
        return sheet.measured(dimension, on, "rides", at, key)

    return MeasuredRide(
        route=each["route"],
        rider=each["rider"],
        level=text(each["level"]),
        distance=_there(measured("length", "distance")),
        energy=measured("energy", "energy"),
        charge_share=measured("ratio", "charge_share"),
        date=on,
        temperature=measured("temperature", "temperature"),
        wind=measured("speed", "wind"),
        average_speed=measured("speed", "average_speed"),
        note=text(each.get("note", "")),
    )


def revisions(sheet: Sheet) -> tuple[Revision, ...]:
    """Oldest first."""
    found = []
    for at, each in enumerate(sheet.many("revisions")):
        was = tuple(
            (key, sheet.marked.text(("revisions", at, "was", key)) or str(value))
            for key, value in each.get("was", {}).items()
        )
        found.append(Revision(_on(each), text(each["what"]), each["kind"], was))
    return tuple(sorted(found, key=lambda revision: revision.date))


def corrections(sheet: Sheet) -> tuple[Correction, ...]:
    """Oldest first."""
    found = []
    for at, each in enumerate(sheet.many("corrections")):
        was = sheet.marked.text(("corrections", at, "was")) or str(each["was"])
        now = sheet.marked.text(("corrections", at, "now")) or str(each["now"])
        found.append(Correction(each["key"], was, now, text(each["reason"]), _on(each)))
    return tuple(sorted(found, key=lambda correction: correction.date))


def ridden(sheet: Sheet) -> Ridden:
    return Ridden(
        state=sheet.one("ridden", "state", default="sheet only"),
        relation=sheet.one("ridden", "relation"),
        distance=sheet.measured("length", day(sheet.one("ridden", "date")), "ridden", "distance"),
        by=sheet.one("ridden", "by"),
        route=sheet.one("ridden", "route"),
        date=day(sheet.one("ridden", "date")),
    )


def _on(each: dict[str, Any]) -> date:
    on = day(each["date"])
    assert on is not None, "the schema wants a date"
    return on


def _there(value: Stated | None) -> Stated:
    assert value is not None, "the schema wants a value"
    return value
