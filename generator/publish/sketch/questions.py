"""From options and, on a terminal, from questions to the answers of a sketch.

* Options       what the command line said
* Lacking       raised where nobody can be asked: which options lack
* answers_of    the answers, the file's name, and which option each value came from
"""

import difflib
import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

from generator.content.records import read_settings
from generator.publish.sketch.answers import LEVEL_KINDS, LEVELS, Answers, like
from generator.publish.sketch.values import part_of, value_of
from generator.publish.sketch.writing import slug_of
from generator.specs.bike import CARGO_FRAMES
from generator.specs.problems import Problem, ProblemsFound
from generator.specs.read import FOLDER, SLUG, own_schema, read_bike
from generator.specs.schema.validate import Schema
from generator.specs.yaml.files import read_mapping


@dataclass(frozen=True)
class Question:
    """Something that a sketch must know."""

    option: str
    key: str
    """Dotted key of the schema that it is about; empty for the kind of the levels."""
    words: str
    choices: tuple[str, ...] = ()
    several: bool = False
    default: str = ""


Ask = Callable[[Question], str]


@dataclass(frozen=True)
class Options:
    """What the command line said; None or empty where it was silent."""

    maker: str | None = None
    name: str | None = None
    year: str | None = None
    use: tuple[str, ...] = ()
    frame: str | None = None
    motor: str | None = None
    drive: str | None = None
    sensor: str | None = None
    shifting: str | None = None
    levels: str | None = None
    throttle: str | None = None
    cargo: bool | None = None
    units: str | None = None
    mass: str | None = None
    price: str | None = None
    url: str | None = None
    seen: str | None = None
    more: tuple[str, ...] = ()
    """`key=value`, from --set."""
    like: str | None = None
    slug: str | None = None


class Lacking(Exception):  # noqa: N818 - named for what the caller shows
    """Raised when options lack and nobody can be asked; carries their names."""

    def __init__(self, options: Sequence[str]) -> None:
        super().__init__(", ".join(options))
        self.options = tuple(options)


ASKED = (
    ("maker", "maker", "Maker"),
    ("name", "name", "Name of the bike, without its maker"),
    ("year", "year", "Model year"),
    ("use", "uses.*", "Uses, the main one first, with commas between"),
    ("frame", "frame", "Frame"),
    ("motor", "motor.place", "Motor"),
    ("sensor", "assist.sensor", "Sensor"),
    ("shifting", "drivetrain.shifting", "Gears"),
    ("levels", "", "What the assist levels set"),
)
"""Option, key of the schema, and words of each question."""
VALUES = {
    "maker": "maker", "name": "name", "year": "year", "frame": "frame", "motor": "motor.place",
    "sensor": "assist.sensor", "shifting": "drivetrain.shifting", "mass": "mass",
    "price": "price.list", "url": "sources.sheet.url", "throttle": "assist.throttle.speed",
    "drive": "motor.drive",
}  # fmt: skip
"""Options that are values of the file, and their keys."""

NONE = "none"


@dataclass
class _Gathered:
    """Answers as they come in, with the option that each value came from."""

    given: dict[str, Any] = field(default_factory=dict)
    flags: dict[str, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    @property
    def chosen(self) -> set[str]:
        """Keys that --set has given."""
        return {key for key, flag in self.flags.items() if flag.startswith("--set")}

    def put(self, key: str, words: str, option: str, schema: Schema) -> None:
        value, problems = value_of(key, words, schema, option)
        self.problems += problems
        self.given[key] = value
        self.flags[key] = option


def answers_of(
    root: Path, options: Options, ask: Ask | None
) -> tuple[Answers, str, dict[str, str]]:
    """Answers, slug, and the option of each given key.

    Raises
    ------
    Lacking
        When an answer lacks and `ask` is None.
    ProblemsFound
        When an option is wrong, or the bike of `like` cannot be read.
    """
    schema, problems = own_schema(root)
    if schema is None:
        raise ProblemsFound(problems)
    settings, _ = read_settings(root)
    shape = _shape(root, options.like)
    said = {each.name: getattr(options, each.name) for each in fields(Options)}
    known = _asked(
        said, shape, schema, ask, settings.updated.year if settings and settings.updated else None
    )
    gathered = _values(known, said, schema)
    if gathered.problems:
        raise ProblemsFound(gathered.problems)
    frame, uses = known["frame"], gathered.given["uses"]
    hauls = frame in CARGO_FRAMES or "cargo" in uses
    answers = Answers(
        maker=known["maker"],
        name=known["name"],
        motor=known["motor"],
        sensor=known["sensor"],
        shifting=known["shifting"],
        level_kind=known["levels"],
        frame=frame,
        units=options.units or shape.get("units") or (settings.units if settings else "metric"),
        cargo=options.cargo if options.cargo is not None else shape.get("cargo", hauls) or hauls,
        throttle="assist.throttle.speed" in gathered.given,
        levels=shape.get("levels", LEVELS),
        more_keys=shape.get("more_keys", frozenset()),
        assumed=known["assumed"] - gathered.chosen,
        given=gathered.given,
    )
    return answers, options.slug or slug_of(known["maker"], known["name"]), gathered.flags


def _shape(root: Path, slug: str | None) -> dict[str, Any]:
    """What an existing bike says by its shape."""
    if slug is None:
        return {}
    path = root / FOLDER / f"{slug}.yaml"
    if not SLUG.fullmatch(slug) or not os.path.isfile(path):
        there = sorted(each.stem for each in (root / FOLDER).glob("*.yaml"))
        near = difflib.get_close_matches(slug, there, 1, 0.5)
        mend = f"Did you mean '{near[0]}'?" if near else f"Write one of: {', '.join(there[:40])}"
        raise ProblemsFound([Problem("--like", 0, 0, f"there is no bike '{slug[:60]}'", mend)])
    bike, problems = read_bike(path, root)
    marked, _ = read_mapping(path, root)
    if bike is None or marked is None:
        raise ProblemsFound(problems)
    return like(bike, marked.value)


def _asked(
    said: dict[str, Any], shape: dict[str, Any], schema: Schema, ask: Ask | None, year: int | None
) -> dict[str, Any]:
    """An answer to each question of `ASKED`: said, or as the other bike has it, or asked for."""
    from_shape = {**shape, "use": shape.get("uses"), "levels": shape.get("level_kind")}
    lacking, known = [], {}
    for option, key, words in ASKED:
        found = said[option] or from_shape.get(option)
        question = Question(
            f"--{option}",
            key,
            words,
            tuple(LEVEL_KINDS)
            if option == "levels"
            else tuple((part_of(key, schema) or {}).get("enum", ())),
            several=option == "use",
            default=str(year) if option == "year" and year else "",
        )
        if not found and ask is None:
            lacking.append(question.option)
            continue
        if not found and ask is not None:
            found = ask(question)
        known[option] = matched(found, question) if question.choices else found
    if lacking:
        raise Lacking(lacking)
    drive = said["drive"] or shape.get("drive")
    if drive is None and known["motor"] != "mid" and ask is not None:
        choices = tuple((part_of("motor.drive", schema) or {}).get("enum", ()))
        question = Question("--drive", "motor.drive", "Hub motor", choices, default="geared")
        drive = matched(ask(question), question)
    known["drive"] = drive or "geared"
    known["assumed"] = frozenset() if drive else frozenset({"motor.drive"})
    if ask is not None:
        known |= _asked_besides(said, shape, ask)
    return known


def _asked_besides(said: dict[str, Any], shape: dict[str, Any], ask: Ask) -> dict[str, Any]:
    """What only a terminal is asked for: a throttle, and the day of a price."""
    found: dict[str, Any] = {}
    if said["throttle"] is None and not shape:
        words = "Highest speed by throttle alone"
        speed = ask(Question("--throttle", "assist.throttle", words, default=NONE))
        found["throttle"] = None if speed.casefold() == NONE else speed
    if said["price"] and not said["seen"]:
        found["seen"] = ask(Question("--seen", "price.date", "Day on which you read it"))
    return found


def matched(words: Any, question: Question) -> Any:
    """The choice that words mean: `rear-hub` and `rear hub` are one. Raises ProblemsFound."""
    if question.several:
        each = words.split(",") if isinstance(words, str) else words
        single = Question(question.option, question.key, question.words, question.choices)
        return [matched(one.strip(), single) for one in dict.fromkeys(each)]
    plain = {_plain(choice): choice for choice in question.choices}
    if _plain(words) in plain:
        return plain[_plain(words)]
    near = difflib.get_close_matches(_plain(words), plain, 1, 0.5)
    mend = f"Did you mean '{plain[near[0]]}'? " if near else ""
    mend += f"Write one of: {', '.join(question.choices)}"
    raise ProblemsFound([Problem(question.option, 0, 0, f"'{words[:60]}' is not known", mend)])


def _plain(words: str) -> str:
    return words.casefold().replace("-", " ").replace("_", " ").strip()


def _values(known: dict[str, Any], said: dict[str, Any], schema: Schema) -> _Gathered:
    """The values of the file that are known, by dotted key."""
    found = _Gathered()
    for option, key in VALUES.items():
        words = known.get(option) or said.get(option)
        if words:
            found.put(key, str(words), f"--{option}", schema)
    found.given |= {"status": "on sale", "uses": list(known["use"])}
    found.given |= {"sources.sheet.title": "Maker's spec sheet", "sources.sheet.kind": "maker"}
    found.flags["uses"] = "--use"
    for pair in said["more"]:
        key, equals, words = pair.partition("=")
        if not equals:
            what, mend = f"'{pair[:60]}' has no =", "Write a key and a value, such as mass=26.1 kg"
            found.problems.append(Problem("--set", 0, 0, what, mend))
            continue
        found.put(key.strip(), words.strip(), f"--set {key.strip()}", schema)
    _days(found, said["seen"] or known.get("seen"), schema)
    return found


def _days(found: _Gathered, seen: str | None, schema: Schema) -> None:
    """The day on which sheet and price were read."""
    if seen:
        found.put("sources.sheet.seen", seen, "--seen", schema)
    if "price.list" not in found.given or "price.date" in found.given:
        return
    if seen:
        found.put("price.date", seen, "--seen", schema)
    else:
        what = "a price needs the day on which it was seen"
        mend = "Say --seen, such as --seen 2026-10-04"
        found.problems.append(Problem(found.flags["price.list"], 0, 0, what, mend))


def hints(question: Question, schema: Schema) -> Iterator[str]:
    """What the schema says about a question."""
    part = part_of(question.key, schema) if question.key else None
    if part is not None:
        yield str(part["description"])
    elif question.choices:
        yield "speed: each level stops helping at its own speed. current: less battery current."
        yield "share: a share of the full power. ratio: motor power as a multiple of your own."
