"""A sketched spec file passes the checks as it stands, and its blanks can be filled in."""

import itertools
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from generator.publish.sketch.answers import LEVEL_KINDS, Answers
from generator.publish.sketch.drawing import MODELINE, compose_sketch
from generator.publish.sketch.questions import Options, gather_answers
from generator.publish.sketch.values import find_part, format_yaml, parse_value
from generator.publish.sketch.writing import slug_of, write_sketch
from generator.publish.vet.check import check_publication
from generator.specs.problems import ProblemsFound
from generator.specs.read import find_bike_schema, read_bike
from generator.specs.yaml.files import parse_mapping, read_mapping
from tests.project import ROOT
from tests.publish.processes import generator, started

SCHEMA = find_bike_schema(ROOT)[0] or {}
SHAPE = Options(
    maker="Oskelm", name="Velp", year="2026", use=("city",), frame="diamond", motor="rear-hub",
    sensor="cadence", shifting="derailleur", levels="speed",
)  # fmt: skip
FLAGS = (
    *("--maker", "Oskelm", "--name", "Velp", "--year", "2026", "--use", "city"),
    *("--frame", "diamond", "--motor", "rear-hub", "--sensor", "cadence"),
    *("--shifting", "derailleur", "--levels", "speed"),
)
SHAPES = list(
    itertools.product(
        ("rear hub", "front hub", "mid"),
        ("cadence", "torque", "switchable"),
        ("derailleur", "hub gear", "single speed"),
        LEVEL_KINDS,
        ("metric", "us"),
        (None, "20 mph"),
        (False, True),
    )
)
"""Every kind of bike: motor, sensor, gears, levels, units, throttle, cargo."""


def options(**other: Any) -> Options:
    return Options(**{**vars(SHAPE), **other})


def sketched(root: Path, **other: Any) -> Path:
    """Write a sketch with these options and return its path."""
    answers, slug, flags = gather_answers(root, options(**other), None)
    return write_sketch(root, answers, slug, flags)


@pytest.fixture
def empty(tmp_path: Path) -> Path:
    (tmp_path / "bikes").mkdir()
    return tmp_path


@pytest.mark.parametrize("motor", ["rear hub", "front hub", "mid"])
def test_every_kind_of_sketch_is_read(empty: Path, motor: str) -> None:
    """The file has the given values and no errors; warnings name the values to fill in."""
    for number, shape in enumerate(each for each in SHAPES if each[0] == motor):
        _, sensor, shifting, levels, units, throttle, cargo = shape
        path = sketched(
            empty, motor=motor, sensor=sensor, shifting=shifting, levels=levels, units=units,
            throttle=throttle, cargo=cargo, slug=f"a-{number}",
        )  # fmt: skip
        bike, problems = read_bike(path, empty)
        assert bike is not None, (shape, list(map(str, problems)))
        assert problems
        assert {each.severity for each in problems} == {"warning"}
        assert bike.motor.place == motor
        assert (bike.assist.sensor, bike.drivetrain.shifting) == (sensor, shifting)
        assert (bike.assist.throttle is not None) is (throttle is not None)
        text = path.read_text("utf-8")
        assert ("cadence_limit" in text) is (motor == "mid")
        assert ("hub_ratios" in text) is (shifting == "hub gear")
        assert ("#rear rack:" in text) is cargo
        assert (" lb" in text) is (units == "us")


def test_a_sketch_reads_like_the_layout_example() -> None:
    """The modeline is first, and keys are in the order of the example, which has them all."""
    answers = Answers(
        "A", "B", "mid", "torque", "hub gear", "ratio", "front box", "metric", cargo=True
    )
    lines = compose_sketch(answers, SCHEMA, "a-b").splitlines()
    assert lines[0] == MODELINE
    example = (ROOT / "bikes" / "pellimor-fenno.yaml").read_text("utf-8")
    assert example.splitlines()[0] == MODELINE
    layout, _ = read_mapping(ROOT / "bikes" / "pellimor-fenno.yaml", ROOT)
    assert layout is not None
    tops = [line.lstrip("#").split(":")[0] for line in lines if line.lstrip("#")[:1].isalpha()]
    assert tops == sorted(tops, key=list(layout.value).index)
    motor = [line.strip().lstrip("#").split(":")[0] for line in lines if line.startswith("  ")]
    wanted = list(layout.value["motor"])
    begin = motor.index("place")
    assert [key for key in motor[begin : begin + 40] if key in wanted][: len(wanted)] == wanted
    assert lines[-1].endswith("{state: borrowed, relation: none | gifted | loaned | paid}.")


def test_every_blank_can_be_filled_in(empty: Path) -> None:
    """With each `#` removed and the schema's example filled in, the file has no errors."""
    path = sketched(empty, motor="mid", sensor="switchable", shifting="hub-gear", use=("cargo",))
    lines, filled, top = [], 0, ""
    for line in path.read_text("utf-8").splitlines():
        blank = re.match(r"( *)#([^\s-][^:]*):", line)
        if line[:1].isalpha():
            top = line.split(":")[0]
        if blank is None:
            lines.append(line)
            continue
        indent, key = blank.groups()
        group = "sources.sheet" if top == "sources" else top
        part = find_part(f"{group}.{key}" if indent else key, SCHEMA)
        assert part is not None, line
        lines.append(f"{indent}{key}: {format_yaml(part['examples'][-1])}")
        filled += 1
    path.write_text("\n".join(lines), "utf-8")
    bike, problems = read_bike(path, empty)
    assert bike is not None, list(map(str, problems))
    assert filled > 35
    assert bike.battery.voltage is not None


def test_what_is_said_stands_in_the_file_as_said(empty: Path) -> None:
    """Units as given, a price without separators, and text that YAML would misread in quotes."""
    path = sketched(
        empty, name="500: #2", mass="60 lb", price="$1,899 USD".removeprefix("$"),
        seen="2026-11-01", url="https://oskelm.example/velp", slug="oskelm-500",
        more=("motor.torque=44 lb-ft", "drivetrain.cogs=[11, 14, 18]", "battery.removable=true",
              "brakes.front.kind=hydraulic disc", "cargo.rear rack=25 kg"),
    )  # fmt: skip
    marked, _ = read_mapping(path, empty)
    bike, _ = read_bike(path, empty)
    assert marked is not None
    assert bike is not None
    assert bike.name == "500: #2"
    assert bike.mass is not None
    assert bike.mass.text == "60 lb"
    assert bike.price is not None
    assert (bike.price.amount, bike.price.currency) == (1899, "USD")
    assert bike.price.date.isoformat() == "2026-11-01"
    assert marked.value["motor"]["torque"] == "44 lb-ft"
    assert marked.value["drivetrain"]["cogs"] == [11, 14, 18]
    assert marked.value["battery"]["removable"] is True
    assert bike.brakes[0].kind == "hydraulic disc"
    assert [place for place, _ in bike.cargo] == ["rear rack"]
    assert bike.sources[0].url == "https://oskelm.example/velp"


@pytest.mark.parametrize(
    ("other", "option", "words"),
    [
        ({"motor": "rare"}, "--motor", "rear hub, front hub, mid"),
        ({"use": ("citi",)}, "--use", "Did you mean 'city'?"),
        ({"year": "26"}, "--year", "from 1990"),
        ({"mass": "60 kilo"}, "--mass", "not a unit of mass"),
        ({"price": "900 EUR"}, "--price", "Say --seen"),
        ({"price": "900 €", "seen": "2026-11-01"}, "--price", "three-letter currency"),
        ({"seen": "1.11.2026"}, "--seen", "2026-11-01"),
        ({"more": ("mass",)}, "--set", "has no ="),
        ({"more": ("motor.tork=60 N·m",)}, "--set motor.tork", "'motor.torque'?"),
        ({"more": ("drivetrain.cogs=[20, 11]",)}, "--set drivetrain.cogs", "Write [11, 20]"),
        ({"slug": "Oskelm Velp"}, "--slug", "Say --slug oskelm-velp"),
        ({"slug": "con"}, "bikes/con.yaml", "Windows"),
        ({"maker": "Ж", "name": "Ж"}, "--slug", "Say --slug maker-model"),
        ({"like": "../bikes/x"}, "--like", "there is no bike"),
    ],
)
def test_what_will_not_do_is_refused(
    empty: Path, other: dict[str, Any], option: str, words: str
) -> None:
    """The problem is under the option that the value came from; nothing is written."""
    with pytest.raises(ProblemsFound) as caught:
        sketched(empty, **other)
    problems = caught.value.problems
    assert problems[0].file == option
    assert words in f"{problems[0].what} {problems[0].mend}"
    assert list((empty / "bikes").iterdir()) == []


def test_a_file_that_is_there_is_left_alone(empty: Path) -> None:
    path = sketched(empty)
    path.write_text("mine", "utf-8")
    ended = generator("sketch", "--root", str(empty), *FLAGS)
    assert ended.returncode == 1
    assert "bikes/oskelm-velp.yaml" in ended.stderr
    assert "there already" in ended.stderr
    assert "--slug" in ended.stderr
    assert path.read_text("utf-8") == "mine"
    assert [each.name for each in path.parent.iterdir()] == [path.name]


def test_no_folder_to_write_to(tmp_path: Path) -> None:
    """Outside a publication."""
    with pytest.raises(ProblemsFound, match="there is no folder 'bikes' here"):
        sketched(tmp_path)


def test_a_disk_that_refuses(empty: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No partly written file stays."""

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(ProblemsFound, match="No space left"):
        sketched(empty)
    assert list((empty / "bikes").iterdir()) == []


def test_a_file_system_without_links(empty: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(source: object, target: object, **options: object) -> None:
        raise PermissionError

    monkeypatch.setattr(os, "link", refuse)
    path = sketched(empty)
    assert [each.name for each in path.parent.iterdir()] == [path.name]


def test_like_takes_the_shape_and_no_value(root: Path) -> None:
    """Motor, sensor, gears, number and kind of levels are taken; mass, torque and name are not."""
    only = Options(maker="Oskelm", name="Velp", year="2026", like="pellimor-fenno")
    answers, slug, flags = gather_answers(root, only, None)
    path = write_sketch(root, answers, slug, flags)
    bike, problems = read_bike(path, root)
    assert bike is not None, problems
    assert (bike.motor.place, bike.assist.sensor) == ("mid", "torque")
    assert (bike.drivetrain.shifting, bike.frame) == ("hub gear", "step-through")
    assert bike.uses == ("touring", "commuting")
    text = path.read_text("utf-8")
    assert text.count("#- {name:") == 4
    assert "#rollout:" in text
    assert "#second_energy:" in text
    assert bike.mass is bike.motor.torque is bike.price is None
    assert "Fenno" not in text.replace("Such as Fenno", "")


def test_a_half_filled_sketch_does_not_stop_a_build(root: Path) -> None:
    """Figures whose inputs are missing are left out; the rest is built."""
    from generator.figures.table.tabulate import tabulate
    from generator.publish.reading import read_publication

    sketched(root, motor="mid", sensor="torque", shifting="hub-gear", levels="ratio")
    publication = read_publication(root)
    table = tabulate(publication.bikes, publication.content)
    assert len(table.figures_of("oskelm-velp")) < len(table.figures_of("pellimor-fenno"))
    assert [each for each in check_publication(root) if each.severity == "error"] == []


def test_without_a_terminal_it_says_what_lacks(root: Path) -> None:
    ended = generator("sketch", "--root", str(root), "--maker", "Oskelm", "--frame", "diamond")
    assert ended.returncode == 2
    for option in ("--name", "--year", "--use", "--motor", "--sensor", "--shifting", "--levels"):
        assert option in ended.stderr
    assert "--maker" not in ended.stderr
    assert "Traceback" not in ended.stderr


def test_on_a_terminal_it_asks(root: Path) -> None:
    """Choices may be abbreviated, an invalid answer is asked for again, and the next steps are printed."""
    ours, theirs = os.openpty()
    command = [sys.executable, "-m", "generator", "sketch", "--root", str(root)]
    answers = ["Oskelm", "Velp", "", "city, lei", "dia", "mdi", "mid", "tor", "single", "ratio", ""]
    with subprocess.Popen(
        command, cwd=ROOT, stdin=theirs, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as process:
        os.write(ours, "".join(f"{each}\n" for each in answers).encode())
        told, _ = process.communicate(timeout=60)
    os.close(theirs)
    os.close(ours)
    assert process.returncode == 0, told
    assert "'mdi' is not known. Did you mean 'mid'?" in told
    assert "vet" in told.splitlines()[-1]
    bike, _ = read_bike(root / "bikes" / "oskelm-velp.yaml", root)
    assert bike is not None
    assert (bike.motor.place, bike.uses, bike.year) == ("mid", ("city", "leisure"), 2026)


def test_next_steps_work(root: Path) -> None:
    """The printed command runs and reports what to fill in."""
    ended = generator("sketch", "--root", str(root), *FLAGS)
    assert ended.returncode == 0
    words = ended.stdout.splitlines()[-1].split("python -m ")[1].split()
    vet = started(*words)
    assert vet.returncode == 0
    assert "nothing is stated here yet" in vet.stderr


@pytest.mark.parametrize(
    ("maker", "name", "slug"),
    [("Oskelm", "Velp 500+", "oskelm-velp-500"), ("Öskélm", "Ñu", "oskelm-nu"), ("Ж", "!", "")],
)
def test_slugs(maker: str, name: str, slug: str) -> None:
    assert slug_of(maker, name) == slug


@pytest.mark.parametrize("value", ["a", "1", "true", "a: b", "#x", "a #x", "é, [", "", " x ", "~"])
@pytest.mark.parametrize("inline", [False, True])
def test_texts_are_drawn_so_that_they_read_back(value: str, inline: bool) -> None:
    text = format_yaml(value, inline)
    marked, problems = parse_mapping(f"v: {{w: {text}}}" if inline else f"v: {text}", "a.yaml")
    assert marked is not None, problems
    assert (marked.value["v"]["w"] if inline else marked.value["v"]) == value


@pytest.mark.parametrize(
    ("words", "value"),
    [("1,899 USD", "1899 USD"), ("USD 1899.50", "1899.50 USD"), ("1 899 eur", "1899 EUR"),
     ("1,89 EUR", "1,89 EUR"), ("free", "free")],
)  # fmt: skip
def test_prices(words: str, value: str) -> None:
    """Separators of thousands are dropped; a possible decimal comma is left for the schema to refuse."""
    assert parse_value("price.list", words, SCHEMA, "--price") == (value, [])


def test_an_untold_drive_is_to_be_checked(empty: Path) -> None:
    """The file must name a drive; if none was given, a comment says that nobody has stated it."""
    words = "usual one, and nobody has stated it"
    for number, (said, told) in enumerate(
        (({}, False), ({"drive": "direct"}, True), ({"more": ("motor.drive=direct",)}, True))
    ):
        text = sketched(empty, slug=f"a-{number}", **said).read_text("utf-8")
        plain = " ".join(re.sub(r"\n *# ", " ", text).split())
        assert (words in plain) is not told
        assert ("drive: direct" in text) is told


def test_a_fresh_sketch_has_lost_nothing(empty: Path) -> None:
    """Lines to fill in hold no values; a value written behind its `#` is reported."""
    path = sketched(empty, use=("cargo",), throttle="20 mph")
    assert not [
        each for each in check_publication(empty, [path]) if "still begins with #" in each.what
    ]
    text = path.read_text("utf-8")
    assert "# To add a level, copy the last line" in text
    path.write_text(text.replace("#current_limit:", "#current_limit: 22 A"), "utf-8")
    told = [each for each in check_publication(empty, [path]) if "still begins with #" in each.what]
    line = text[: text.index("#current_limit:")].count("\n") + 1
    assert [each.line for each in told] == [line]
