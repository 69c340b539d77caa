"""From a spec file to a Bike in SI: values, sources, names, and what a folder may hold."""

import hashlib
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import pytest

from generator.specs.read import read_bike, read_bikes
from tests.project import ROOT
from tests.specs.sheets import SOUND, change_spec, read_sound_bike, read_spec

FENNO = ROOT / "bikes" / "pellimor-fenno.yaml"


@pytest.fixture(scope="module")
def fenno():
    bike, problems = read_bike(FENNO, ROOT)
    assert bike is not None, problems
    return bike


def test_every_bike_of_the_publication_is_sound() -> None:
    """No spec file that is committed has an error."""
    bikes, problems = read_bikes(ROOT)
    assert [str(problem) for problem in problems if problem.severity == "error"] == []
    assert [bike.slug for bike in bikes] == sorted(
        path.stem for path in (ROOT / "bikes").glob("*.yaml")
    )


def test_values_in_si(fenno) -> None:
    """Quantities arrive in SI with the words of the file."""
    assert fenno.slug == "pellimor-fenno"
    assert fenno.file == "bikes/pellimor-fenno.yaml"
    assert fenno.battery.charge.value == 14 * 3600
    assert fenno.battery.charge.text == "14 Ah"
    assert fenno.motor.assisted_speed.value == pytest.approx(25 / 3.6)
    assert fenno.motor.cadence_limit.value == pytest.approx(11.519, abs=5e-4)
    assert fenno.assist.levels[0].power.value == pytest.approx(0.3)
    assert fenno.assist.levels[1].ratio.text == "1.2"
    assert fenno.wheels.etrto_width == 0.047
    assert fenno.wheels.etrto_bead == 0.622
    assert fenno.price.amount == 3290
    assert fenno.price.currency == "EUR"
    assert fenno.claims.hill.value == pytest.approx(0.18)
    assert fenno.claims.range.conditions == "lowest level, flat, 70 kg rider"
    assert fenno.cargo[0][1].value == 25
    assert fenno.brakes[0].rotor.value == pytest.approx(0.18)


def test_who_stated_what(fenno) -> None:
    """Values are from the first source unless stated_by says otherwise; own tests are measured."""
    assert (fenno.mass.source, fenno.mass.basis) == ("sheet", "claimed")
    assert fenno.mass.date == date(2026, 10, 4)
    assert (fenno.wheels.rollout.source, fenno.wheels.rollout.basis) == ("own", "measured")
    assert fenno.wheels.rollout.date == date(2026, 10, 14)
    assert (fenno.tests[0].value.source, fenno.tests[0].value.basis) == ("own", "measured")
    assert fenno.rides[0].distance.date == fenno.rides[0].date


def test_digest_is_of_the_bytes(fenno) -> None:
    """The digest is the SHA-256 of the file."""
    assert fenno.digest == hashlib.sha256(FENNO.read_bytes()).hexdigest()


def test_a_group_has_one_source(tmp_path: Path) -> None:
    """stated_by may name a whole group; the nearest name wins."""
    more = (
        "  own: {title: Ours, kind: own test, seen: 2026-10-10}\n"
        "  shop: {title: A shop, kind: seller}\n"
        "stated_by:\n"
        "  battery: shop\n"
        "  battery.charge: own\n"
        "  assist.levels.Mid.current: own\n"
    )
    bike = read_sound_bike(tmp_path, more=more)
    assert bike.battery.energy is not None
    assert bike.battery.charge is not None
    assert (bike.battery.energy.source, bike.battery.energy.basis) == ("shop", "claimed")
    assert (bike.battery.charge.source, bike.battery.charge.basis) == ("own", "measured")
    currents = [level.current and level.current.basis for level in bike.assist.levels]
    assert currents == ["claimed", "measured", "claimed"]


def test_little_is_enough(tmp_path: Path) -> None:
    """A spec file with almost nothing in it is still a bike."""
    text = (
        "name: Drusk\nmaker: Gromblo\nyear: 2026\nstatus: announced\nuses: [city]\nframe: diamond\n"
        "motor: {place: mid, drive: geared}\nbattery: {}\nassist: {}\n"
        "drivetrain: {shifting: derailleur}\nwheels: {size: 40-622}\n"
        "sources: {sheet: {title: Sheet, kind: maker}}\n"
    )
    bike, problems = read_spec(tmp_path, text)
    assert problems == []
    assert bike is not None
    assert bike.mass is None
    assert bike.assist.sensor is None
    assert bike.ridden.state == "sheet only"


def test_us_units(tmp_path: Path) -> None:
    """Pounds, miles per hour and inches are read."""
    bike = read_sound_bike(
        tmp_path, ("24.5 kg", "54 lb"), ("speed: 25 km/h\n", "speed: 20 mph\n"),
        more="wheelbase: 44 in\n",
    )  # fmt: skip
    assert bike.mass is not None
    assert bike.wheelbase is not None
    assert bike.motor.assisted_speed is not None
    assert bike.mass.value == pytest.approx(24.494, abs=5e-4)
    assert bike.mass.text == "54 lb"
    assert bike.motor.assisted_speed.value == pytest.approx(8.9408)
    assert bike.wheelbase.value == pytest.approx(1.1176)


@pytest.mark.parametrize(
    ("slug", "advice"),
    [
        ("Oskelm Grelm", "oskelm-grelm.yaml"),
        ("oskelm_grelm", "oskelm-grelm.yaml"),
        ("oskelm--grelm", "oskelm-grelm.yaml"),
        ("-", "maker-model.yaml"),
        ("con", "maker-model.yaml"),
        ("lpt1", "maker-model.yaml"),
        ("é", "e.yaml"),
        ("Ж", "maker-model.yaml"),
        ("a" * 61, "a" * 60 + ".yaml"),
    ],
)
def test_names_that_are_no_addresses(tmp_path: Path, slug: str, advice: str) -> None:
    """A file's name must be usable as an address everywhere."""
    bike, problems = read_spec(tmp_path, SOUND, slug)
    assert bike is None
    assert len(problems) == 1
    assert advice in problems[0].mend


def test_capital_letters_only(tmp_path: Path) -> None:
    """Two names that Windows and macOS take for one are refused."""
    read_spec(tmp_path, SOUND, "grelm")
    files = [tmp_path / "bikes" / name for name in ("Grelm.yaml", "grelm.yaml")]
    _, problems = read_bikes(tmp_path, files)
    told = [problem for problem in problems if "capital letters only" in problem.what]
    assert [problem.file for problem in told] == ["bikes/grelm.yaml"]


def test_the_same_bike_twice(tmp_path: Path) -> None:
    """Two files about one bike are a warning that names both; another year is another bike."""
    read_spec(tmp_path, SOUND, "grelm")
    read_spec(tmp_path, change_spec(("maker: Oskelm", "maker: OSKELM")), "oskelm-grelm")
    read_spec(tmp_path, change_spec(("year: 2026", "year: 2025")), "oskelm-grelm-2025")
    bikes, problems = read_bikes(tmp_path)
    assert len(bikes) == 3
    assert [(each.file, each.severity) for each in problems] == [
        ("bikes/oskelm-grelm.yaml", "warning")
    ]
    assert "described in bikes/grelm.yaml too" in problems[0].what
    assert "bikes/oskelm-grelm.yaml" in problems[0].mend


def test_links_stay_inside(tmp_path: Path) -> None:
    """A link that leads out of the folder is not followed."""
    outside = tmp_path / "elsewhere.yaml"
    outside.write_text(SOUND)
    (tmp_path / "bikes").mkdir()
    (tmp_path / "bikes" / "grelm.yaml").symlink_to(outside)
    (tmp_path / "bikes" / "loop.yaml").symlink_to(tmp_path / "bikes" / "loop.yaml")
    bikes, problems = read_bikes(tmp_path)
    assert bikes == ()
    assert len(problems) == 2
    assert "leads out of the folder" in problems[0].what


def test_folder(tmp_path: Path) -> None:
    """A missing folder and a wrong ending are named."""
    assert "no folder 'bikes'" in read_bikes(tmp_path)[1][0].what
    read_spec(tmp_path, SOUND, "grelm")
    (tmp_path / "bikes" / "other.yml").write_text(SOUND)
    bikes, problems = read_bikes(tmp_path)
    assert [bike.slug for bike in bikes] == ["grelm"]
    assert [problem.mend for problem in problems] == ["Call it 'other.yaml'"]


def test_one_bad_file_does_not_hide_the_rest(tmp_path: Path) -> None:
    """Sound bikes are read beside a broken one."""
    read_spec(tmp_path, SOUND, "good")
    read_spec(tmp_path, change_spec(("24.5 kg", "24.5 km")), "bad")
    bikes, problems = read_bikes(tmp_path)
    assert [bike.slug for bike in bikes] == ["good"]
    assert [problem.file for problem in problems] == ["bikes/bad.yaml"]


def test_broken_schema(tmp_path: Path) -> None:
    """A broken schema is a problem with its line."""
    read_spec(tmp_path, SOUND)
    (tmp_path / "bikes" / "bike.schema.json").write_text("{\n  oops\n}")
    bikes, problems = read_bikes(tmp_path)
    assert bikes == ()
    assert [(problem.file, problem.line) for problem in problems] == [("bikes/bike.schema.json", 2)]


def test_order_does_not_depend_on_the_disk(tmp_path: Path) -> None:
    """Bikes come by slug, whatever the order of the files given."""
    for slug in ("b", "c", "a"):
        read_spec(tmp_path, SOUND, slug)
    files = [tmp_path / "bikes" / f"{slug}.yaml" for slug in "cab"]
    assert [bike.slug for bike in read_bikes(tmp_path, files)[0]] == ["a", "b", "c"]


def test_quick() -> None:
    """One file takes well under 20 ms of a processor once the modules are there (best of ten)."""
    read_bike(FENNO, ROOT)
    best = 1.0
    for _ in range(10):
        began = time.process_time()
        read_bike(FENNO, ROOT)
        best = min(best, time.process_time() - began)
    assert best < 0.020


def test_light_import() -> None:
    """Importing the reader does not pull in pandas, altair, numpy or jsonschema."""
    code = (
        "import sys, generator.specs.read;"
        "print([m for m in ('pandas', 'altair', 'numpy', 'jsonschema') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert done.stdout.strip() == "[]", done.stderr
