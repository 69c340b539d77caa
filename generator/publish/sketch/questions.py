"""Gathers the answers for a sketch from options and, on a terminal, from questions.

* Options              the options of the command line
* Question             a question to ask if an option is missing
* MissingOptionsError  raised if options are missing and nobody can be asked
* gather_answers       the answers, the file's name, and the option that each value came from
"""

import difflib
import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

from generator.content.records import read_settings
from generator.publish.sketch.answers import DEFAULT_LEVELS, LEVEL_KINDS, Answers, derive_answers
from generator.publish.sketch.values import find_part, parse_value
from generator.publish.sketch.writing import slug_of
from generator.specs.bike import CARGO_FRAMES
from generator.specs.problems import Mistyped, Problem, ProblemsFound
from generator.specs.read import FOLDER, SLUG, find_bike_schema, read_bike
from generator.specs.schema.validate import Schema
from generator.specs.yaml.files import read_mapping


@dataclass(frozen=True)
class Question:
    """A question for something that a sketch must know."""

    option: str
    """Option that answers the question, such as `--maker`."""
    key: str
    """Dotted key of the schema; empty for the kind of the levels."""
    words: str
    """The question as it is asked."""
    choices: tuple[str, ...] = ()
    """Allowed answers; empty for any."""
    several: bool = False
    """May the answer hold several choices?"""
    default: str = ""


AskQuestion = Callable[[Question], str]


@dataclass(frozen=True)
class Options:
    """Options of the command line; None or empty if not given."""

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
    """Values of --set, each `key=value`."""
    like: str | None = None
    slug: str | None = None


class MissingOptionsError(Exception):
    """Raised if options are missing and nobody can be asked; carries their names."""

    def __init__(self, options: Sequence[str]) -> None:
        super().__init__(", ".join(options))
        self.options = tuple(options)


QUESTIONS = (
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
"""Option, key of the schema and wording of each question."""
VALUE_KEYS = {
    "maker": "maker", "name": "name", "year": "year", "frame": "frame", "motor": "motor.place",
    "sensor": "assist.sensor", "shifting": "drivetrain.shifting", "mass": "mass",
    "price": "price.list", "url": "sources.sheet.url", "throttle": "assist.throttle.speed",
    "drive": "motor.drive",
}  # fmt: skip
"""Dotted keys of the options whose value goes into the file."""

NONE = "none"


@dataclass
class _GatheredValues:
    """Values for the file while they are gathered."""

    given: dict[str, Any] = field(default_factory=dict)
    """Values by dotted key."""
    flags: dict[str, str] = field(default_factory=dict)
    """The option that each value came from, by dotted key."""
    problems: list[Problem] = field(default_factory=list)

    @property
    def chosen(self) -> set[str]:
        """Keys that --set has given."""
        return {key for key, flag in self.flags.items() if flag.startswith("--set")}

    def add(self, key: str, words: str, option: str, schema: Schema) -> None:
        value, problems = parse_value(key, words, schema, option)
        self.problems += problems
        self.given[key] = value
        self.flags[key] = option


def gather_answers(
    root: Path, options: Options, ask: AskQuestion | None
) -> tuple[Answers, str, dict[str, str]]:
    """Answers, slug, and the option of each given key.

    Raises
    ------
    Lacking
        When an answer lacks and `ask` is None.
    ProblemsFound
        When an option is wrong, or the bike of `like` cannot be read.
    """
    schema, problems = find_bike_schema(root)
    if schema is None:
        raise ProblemsFound(problems)
    settings, _ = read_settings(root)
    shape = _read_shape(root, options.like)
    given_options = {each.name: getattr(options, each.name) for each in fields(Options)}
    known = _answer_questions(
        given_options,
        shape,
        schema,
        ask,
        settings.updated.year if settings and settings.updated else None,
    )
    gathered = _gather_values(known, given_options, schema)
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
        levels=shape.get("levels", DEFAULT_LEVELS),
        more_keys=shape.get("more_keys", frozenset()),
        assumed=known["assumed"] - gathered.chosen,
        given=gathered.given,
    )
    return answers, options.slug or slug_of(known["maker"], known["name"]), gathered.flags


def _read_shape(root: Path, slug: str | None) -> dict[str, Any]:
    """Answers from the kind of the existing bike `slug`; empty if it is None."""
    if slug is None:
        return {}
    path = root / FOLDER / f"{slug}.yaml"
    if not SLUG.fullmatch(slug) or not os.path.isfile(path):
        there = sorted(each.stem for each in (root / FOLDER).glob("*.yaml"))
        near = difflib.get_close_matches(slug, there, 3, 0.5)
        mend = (
            f"Did you mean {' or '.join(map(repr, near))}?"
            if near
            else f"Write one of: {', '.join(there[:40])}"
        )
        raise Mistyped([Problem("--like", 0, 0, f"there is no bike '{slug[:60]}'", mend)])
    bike, problems = read_bike(path, root)
    marked, _ = read_mapping(path, root)
    if bike is None or marked is None:
        raise ProblemsFound(problems)
    return derive_answers(bike, marked.value)


def _answer_questions(
    given_options: dict[str, Any],
    shape: dict[str, Any],
    schema: Schema,
    ask: AskQuestion | None,
    year: int | None,
) -> dict[str, Any]:
    """An answer to each question of `QUESTIONS`: from the option, from the existing bike, or by asking."""
    from_shape = {**shape, "use": shape.get("uses"), "levels": shape.get("level_kind")}
    missing, known = [], {}
    for option, key, words in QUESTIONS:
        found = given_options[option] or from_shape.get(option)
        question = Question(
            f"--{option}",
            key,
            words,
            tuple(LEVEL_KINDS)
            if option == "levels"
            else tuple((find_part(key, schema) or {}).get("enum", ())),
            several=option == "use",
            default=str(year) if option == "year" and year else "",
        )
        if not found and ask is None:
            missing.append(question.option)
            continue
        if not found and ask is not None:
            found = ask(question)
        known[option] = match_choice(found, question) if question.choices else found
    if missing:
        raise MissingOptionsError(missing)
    drive = given_options["drive"] or shape.get("drive")
    if drive is None and known["motor"] != "mid" and ask is not None:
        choices = tuple((find_part("motor.drive", schema) or {}).get("enum", ()))
        question = Question("--drive", "motor.drive", "Hub motor", choices, default="geared")
        drive = match_choice(ask(question), question)
    known["drive"] = drive or "geared"
    known["assumed"] = frozenset() if drive else frozenset({"motor.drive"})
    if ask is not None:
        known |= _ask_on_terminal(given_options, shape, ask)
    return known


def _ask_on_terminal(
    given_options: dict[str, Any], shape: dict[str, Any], ask: AskQuestion
) -> dict[str, Any]:
    """Answers that are asked for on a terminal only: throttle, and day of the price."""
    found: dict[str, Any] = {}
    if given_options["throttle"] is None and not shape:
        words = "Highest speed by throttle alone"
        speed = ask(Question("--throttle", "assist.throttle", words, default=NONE))
        found["throttle"] = None if speed.casefold() == NONE else speed
    if given_options["price"] and not given_options["seen"]:
        found["seen"] = ask(Question("--seen", "price.date", "Day on which you read it"))
    return found


def match_choice(words: Any, question: Question) -> Any:
    """The choice that words mean: `rear-hub` and `rear hub` are the same. Raises ProblemsFound if there is none."""
    if question.several:
        each = words.split(",") if isinstance(words, str) else words
        single = Question(question.option, question.key, question.words, question.choices)
        return [match_choice(one.strip(), single) for one in dict.fromkeys(each)]
    plain = {_normalize_words(choice): choice for choice in question.choices}
    if _normalize_words(words) in plain:
        return plain[_normalize_words(words)]
    near = difflib.get_close_matches(_normalize_words(words), plain, 1, 0.5)
    mend = f"Did you mean '{plain[near[0]]}'? " if near else ""
    mend += f"Write one of: {', '.join(question.choices)}"
    raise ProblemsFound([Problem(question.option, 0, 0, f"'{words[:60]}' is not known", mend)])


def _normalize_words(words: str) -> str:
    """Words in small letters, with spaces for hyphens and underscores."""
    return words.casefold().replace("-", " ").replace("_", " ").strip()


def _gather_values(
    known: dict[str, Any], given_options: dict[str, Any], schema: Schema
) -> _GatheredValues:
    """All known values of the file, from answers, options and --set."""
    found = _GatheredValues()
    for option, key in VALUE_KEYS.items():
        words = known.get(option) or given_options.get(option)
        if words:
            found.add(key, str(words), f"--{option}", schema)
    found.given |= {"status": "on sale", "uses": list(known["use"])}
    found.given |= {"sources.sheet.title": "Maker's spec sheet", "sources.sheet.kind": "maker"}
    found.flags["uses"] = "--use"
    for pair in given_options["more"]:
        key, equals, words = pair.partition("=")
        if not equals:
            what, mend = f"'{pair[:60]}' has no =", "Write a key and a value, such as mass=26.1 kg"
            found.problems.append(Problem("--set", 0, 0, what, mend))
            continue
        found.add(key.strip(), words.strip(), f"--set {key.strip()}", schema)
    _gather_days(found, given_options["seen"] or known.get("seen"), schema)
    return found


def _gather_days(found: _GatheredValues, seen: str | None, schema: Schema) -> None:
    """Add the days on which spec sheet and price were read."""
    if seen:
        found.add("sources.sheet.seen", seen, "--seen", schema)
    if "price.list" not in found.given or "price.date" in found.given:
        return
    if seen:
        found.add("price.date", seen, "--seen", schema)
    else:
        what = "a price needs the day on which it was seen"
        mend = "Say --seen, such as --seen 2026-10-04"
        found.problems.append(Problem(found.flags["price.list"], 0, 0, what, mend))


def list_hints(question: Question, schema: Schema) -> Iterator[str]:
    """Lines that explain a question: the description in the schema, or the kinds of levels."""
    part = find_part(question.key, schema) if question.key else None
    if part is not None:
        yield str(part["description"])
    elif question.choices:
        yield "speed: each level stops helping at its own speed. current: less battery current."
        yield "share: a share of the full power. ratio: motor power as a multiple of your own."
