"""The impact report names everything that moved and why, and nothing else."""

import shutil
from pathlib import Path

import pytest

from generator.content.model import Content
from generator.figures.table.figures_table import FiguresTable
from generator.publish.impact.changes import live_text
from generator.publish.impact.changes.tables import ComparedTables, tabulate_states
from generator.publish.impact.compare import assess_impact, compare_states
from generator.publish.impact.model import Impact, ListRank
from generator.publish.impact.report.as_json import format_json
from generator.publish.impact.report.as_text import format_text
from generator.publish.impact.states.pairing import pair_bikes
from generator.publish.impact.states.revisions import StateFolder
from generator.publish.impact.states.sides import read_state
from generator.publish.trace import trace_figures
from tests.publish.conftest import publication
from tests.publish.impact.impacts import (
    FENNO,
    TRIAL,
    by_hand,
    causes,
    changed,
    copy_of,
    ids,
    rewrite,
    spec,
)

SMALLER_BATTERY = (("energy: 504 Wh", "energy: 400 Wh"),)


@pytest.fixture(scope="module")
def smaller(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Impact]:
    """A publication whose battery became smaller, and the report. Read only; the earlier state is beside it."""
    root = publication(tmp_path_factory.mktemp("smaller") / "publication")
    return root, changed(root, *SMALLER_BATTERY)


def test_nothing_changed(root: Path) -> None:
    """A comment is no change."""
    report = changed(root, ("mass: 26.1 kg", "mass: 26.1 kg   # weighed by the maker"))

    assert report.moves == report.swaps == report.lists == report.live == report.bikes == ()
    assert not report.pages.added + report.pages.gone


def test_the_same_quantity_in_another_unit_moves_nothing(root: Path) -> None:
    report = changed(root, ("mass: 26.1 kg", "mass: 26100 g"))

    assert [change.what for change in report.bikes] == ["changed"]
    assert report.moves == ()
    assert report.bikes[0].idle == ()


def test_a_charge_beside_a_stated_energy_is_idle(root: Path) -> None:
    """A changed key on which no figure depends is reported as such: the stated energy takes precedence."""
    report = changed(root, ("charge: 14 Ah", "charge: 13.9 Ah"), ("pulses: 36", "pulses: 18"))

    assert {change.key for change in report.bikes[0].keys} == {"battery.charge", "assist.pulses"}
    assert report.bikes[0].idle == ("battery.charge",)
    assert not any("battery" in cause for cause in causes(report))
    written = " ".join(format_text(report).split())
    assert "14 Ah → 13.9 Ah (line 30): changed, and no figure depends on it" in written
    assert written.count("no figure depends on it") == 1


def test_a_smaller_battery_moves_what_depends_on_it_and_nothing_else(
    smaller: tuple[Path, Impact],
) -> None:
    """The report has exactly the figures that differ when each state is computed alone."""
    root, report = smaller

    assert ids(report.moves) == by_hand(root.with_name("before"), root, FENNO)
    assert {"range.rolling", "battery.energy", "battery.charge_time"} <= ids(report.moves)
    assert not {"gears.highest", "spec.mass", "assist.take_up_angle"} & ids(report.moves)
    assert {move.bike for move in report.moves} == {FENNO}
    assert causes(report) == {f"battery.energy: 504 Wh → 400 Wh (line {line_of(root, '400 Wh')})"}
    energy = next(move for move in report.moves if move.figure == "battery.energy")
    assert energy.change == pytest.approx(400 / 504 - 1)
    assert (energy.old_text[:6], energy.new_text[:6]) == ("504\u00a0Wh", "400\u00a0Wh")


def line_of(root: Path, words: str) -> int:
    lines = spec(root).read_text("utf-8").splitlines()
    return next(number for number, line in enumerate(lines, 1) if words in line)


def test_a_torque_sensor_by_firmware(root: Path) -> None:
    """A cadence sensor with speed levels becomes a torque sensor, and the mass changes: each moves its own figures."""
    levels = (
        ("{name: Mild, ratio: 0.6, power: 30 %}", "{name: Mild, speed: 15 km/h}"),
        ("{name: Climb, ratio: 2.4}", "{name: Climb, speed: 21 km/h}"),
        ("{name: Full, ratio: 3.4}", "{name: Full, speed: 25 km/h}"),
    )
    rewrite(spec(root), ("sensor: torque", "sensor: cadence"), *levels)
    back = [(new, old) for old, new in levels]
    report = changed(
        root,
        ("sensor: cadence", "sensor: torque"),
        ("mass: 26.1 kg", "mass: 26.4 kg"),
        *back,
    )

    assert ids(report.moves) == by_hand(root.with_name("before"), root, FENNO)
    why = {move.figure: " ".join(move.why) for move in report.moves}
    assert why["spec.mass"].startswith("mass: 26.1 kg → 26.4 kg")
    assert "assist" not in why["spec.mass"]
    assert "assist.sensor: cadence → torque" in why["assist.follow_slope"]
    assert "mass:" not in why["assist.follow_slope"]
    assert "assist.levels.Full.ratio: not stated → 3.4" in why["range.rolling.level_4"]


def test_a_bystander_is_no_cause(root: Path) -> None:
    """Of two values changed at once, each figure names only those that move it."""
    report = changed(root, *SMALLER_BATTERY, ("pulses: 36", "pulses: 18"))
    why = {move.figure: move.why for move in report.moves}

    assert [cause.split(":")[0] for cause in why["battery.energy"]] == ["battery.energy"]
    assert [cause.split(":")[0] for cause in why["assist.take_up_angle"]] == ["assist.pulses"]


def test_a_heavier_rider(root: Path) -> None:
    """The cause names the rider, and only figures of that rider move."""
    report = changed(root, ("mass: 62 kg", "mass: 72 kg"), file="content/riders.yaml")

    assert report.bikes == ()
    assert [change.key for change in report.content] == ["riders.gentle.mass"]
    assert {move.bike for move in report.moves} == {FENNO, TRIAL}
    assert ids(report.moves) == by_hand(root.with_name("before"), root, FENNO)
    assert all(move.figure.endswith(".gentle") for move in report.moves)
    assert all(cause.startswith("riders.gentle.mass: 62 kg → 72 kg") for cause in causes(report))


def test_a_dearer_kilowatt_hour_and_another_route(root: Path) -> None:
    """Two changes of the content at once are told apart."""
    before = copy_of(root)
    rewrite(root / "content" / "site.yaml", ("electricity_price: 0.31", "electricity_price: 0.62"))
    profile = root / "content" / "routes" / "hilly.csv"
    lines = profile.read_text("utf-8").splitlines()
    profile.write_text("\n".join(lines[:-1]) + "\n", "utf-8")
    report = assess_impact(root, str(before))
    why = {move.figure: " ".join(move.why) for move in report.moves if move.bike == FENNO}

    assert set(why) == by_hand(before, root, FENNO)
    assert why["battery.charge_cost"].startswith("electricity_price: 0.31 → 0.62")
    assert why["range.hilly"].startswith("routes.hilly.profile: ")
    assert "range.flat" not in why


def test_a_rider_and_a_bike_at_once(root: Path) -> None:
    """Each figure names the rider, the bike's part, or both."""
    before = copy_of(root)
    rewrite(spec(root), *SMALLER_BATTERY)
    rewrite(root / "content" / "riders.yaml", ("mass: 62 kg", "mass: 72 kg"))
    report = assess_impact(root, str(before))
    why = {
        move.figure: {cause.split(":")[0] for cause in move.why}
        for move in report.moves
        if move.bike == FENNO
    }

    assert why["battery.energy"] == {"battery.energy"}
    assert why["range.flat.gentle"] == {"battery.energy", "riders.gentle.mass"}
    assert {cause for move in report.moves if move.bike == TRIAL for cause in move.why} == {
        f"riders.gentle.mass: 62 kg → 72 kg (line {gentle_line(root)})"
    }


def gentle_line(root: Path) -> int:
    lines = (root / "content" / "riders.yaml").read_text("utf-8").splitlines()
    return 1 + lines.index("    mass: 72 kg")


def test_the_program_is_the_cause_when_nothing_else_changed(root: Path) -> None:
    """Tables that the caller has computed from the same data, for example with two versions of the program."""
    before = copy_of(root)
    rewrite(spec(before), *SMALLER_BATTERY)
    other, now = read_state(StateFolder("before", before)), read_state(StateFolder("now", root))
    assert other.content
    assert now.content
    old = tabulate_states(pair_bikes(other, other), other.content, other.content).after
    new = tabulate_states(pair_bikes(now, now), now.content, now.content).after
    report = compare_states(now, now, precomputed=ComparedTables(old, new))

    assert ids(report.moves) == by_hand(before, root, FENNO)
    assert causes(report) == {"the program"}


def test_a_weighed_bike_has_narrower_intervals(root: Path) -> None:
    """A measurement of our own replaces the claim, and the causes name its keys."""
    before = copy_of(root)
    text = spec(before).read_text("utf-8")
    start, end = text.index("tests:\n"), text.index("rides:\n")
    spec(before).write_text(text[:start] + text[end:], "utf-8")
    report = assess_impact(root, str(before))

    assert ids(report.moves) == by_hand(before, root, FENNO)
    assert "hills.steepest" in ids(report.moves)
    assert any("tests.mass.value: not stated → 26.8 kg" in cause for cause in causes(report))


def test_a_value_that_is_no_longer_stated_is_assumed(root: Path) -> None:
    """The basis changes from computed to estimated, and the interval gets wider."""
    report = changed(root, ("  pulses: 36\n", ""))
    angle = next(move for move in report.moves if move.figure == "assist.take_up_angle")

    assert (angle.old_basis, angle.new_basis) == ("computed", "estimated")
    assert angle in report.basis_changes
    assert angle in report.width_changes or angle.old[1] == angle.old[2]
    assert angle.why[0].startswith("assist.pulses: 36 → not stated")


def test_ranks_swap_in_words(root: Path) -> None:
    """Of two equal bikes, one is made lighter, then heavier than the other."""
    rewrite(spec(root), ("mass: 26.1 kg", "mass: 25.0 kg"))
    report = changed(root, ("mass: 25.0 kg", "mass: 29.0 kg"))
    swap = next(swap for swap in report.swaps if swap.figure == "spec.mass")

    assert (swap.ahead, swap.behind) == (TRIAL, FENNO)
    assert "all bikes" in swap.lists
    assert "For touring" in swap.lists
    assert "Pellimor Trial is now ahead of Pellimor Fenno, 26.1\u00a0kg against 29" in swap.sentence
    headlines = {each.id for each, _ in trace_figures(root, FENNO) if each.kind.headline}
    assert {swap.figure for swap in report.swaps} <= headlines


def test_lists_entered_and_left(root: Path) -> None:
    """Lists by use, pair and legal category follow the data."""
    report = changed(
        root,
        ("uses: [touring, commuting]", "uses: [city]"),
        ("assisted_speed: 25 km/h", "assisted_speed: 45 km/h"),
    )
    told = {(each.list, each.members, each.what) for each in report.lists}

    assert ("Use: For the city", (FENNO,), "entered") in told
    assert ("Use: For touring", (FENNO,), "left") in told
    assert ("Pages of two bikes side by side", (FENNO, TRIAL), "left") in told
    assert any(name.startswith("Law, ") and what == "left" for name, _, what in told)
    assert f"compare/{FENNO}-vs-{TRIAL}/index.html" in report.pages.gone


def test_guides_whose_figures_read_otherwise(smaller: tuple[Path, Impact]) -> None:
    """The example's guide prints the range on line 6 of its file."""
    (live,) = smaller[1].live

    assert (live.file, live.line) == ("content/guides/two.md", 6)
    assert (live.bike, live.figure) == (FENNO, "range.rolling")
    assert live.old != live.new
    assert live.new.endswith("\u00a0km")


def test_sentences_that_hold_no_more(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A registered source of tested sentences is called for both states."""

    def far(table: FiguresTable, content: Content) -> live_text.SentenceResults:
        found = table.get(FENNO, "range.rolling")
        holds = found is not None and found.value > 70_000
        return {"content/guides/two.md:6": ("The Fenno goes more than 70 km.", holds)}

    monkeypatch.setattr(live_text, "SENTENCE_SOURCES", [])
    live_text.register_sentences(far)
    report = changed(root, *SMALLER_BATTERY)

    (sentence,) = report.sentences
    assert (sentence.file, sentence.line) == ("content/guides/two.md", 6)


def test_bikes_come_go_and_are_renamed(root: Path) -> None:
    before = copy_of(root)
    spec(root, TRIAL).rename(spec(root, "pellimor-other"))
    rewrite(spec(root, "pellimor-other"), *SMALLER_BATTERY)
    new = spec(root).read_text("utf-8").replace("maker: Pellimor", "maker: Oskelm", 1)
    spec(root, "oskelm-new").write_text(new, "utf-8")
    spec(root).unlink()
    (root / "content" / "guides" / "two.md").unlink()
    report = assess_impact(root, str(before))

    assert [(change.slug, change.what, change.was) for change in report.bikes] == [
        ("oskelm-new", "added", ""),
        (FENNO, "removed", ""),
        ("pellimor-other", "renamed", TRIAL),
    ]
    come, gone, renamed = report.bikes
    for change, side in ((come, root), (gone, before)):
        stated = {
            each.id: each for each, _ in trace_figures(side, change.slug) if each.kind.headline
        }
        assert {each.figure for each in change.standings} == set(stated)
        assert all(each.value == stated[each.figure].value for each in change.standings)
        assert change.standings[0].figure == "range.rolling"
        # The other bike has less energy in the later state, and is the same bike in the earlier.
        assert change.standings[0].places[0] == ListRank("", 1, 2)
    assert renamed.standings == ()
    assert {move.bike for move in report.moves} == {"pellimor-other"}
    assert ids(report.moves, "pellimor-other") == by_hand_renamed(before, root)
    assert "bikes/pellimor-other/index.html" in report.pages.added
    assert "guides/two/index.html" in report.pages.gone


def by_hand_renamed(before: Path, root: Path) -> set[str]:
    spec(before, TRIAL).rename(spec(before, "pellimor-other"))
    return by_hand(before, root, "pellimor-other")


def test_places_tell_the_same_pages_as_rendering(root: Path) -> None:
    """Pages added and gone are the same by their paths and by rendering, except the chooser's, which only rendering finds."""
    before = copy_of(root)
    spec(root, TRIAL).unlink()
    rewrite(spec(root), *SMALLER_BATTERY, ("uses: [touring, commuting]", "uses: [city]"))
    quick, whole = assess_impact(root, str(before)), assess_impact(root, str(before), render=True)

    assert (quick.pages.added, quick.pages.gone) == tuple(
        tuple(page for page in pages if not page.startswith("choose/"))
        for pages in (whole.pages.added, whole.pages.gone)
    )
    assert quick.pages.changed is None
    assert f"bikes/{FENNO}/index.html" in (whole.pages.changed or ())
    assert "uses/city/index.html" in whole.pages.added


def test_problems_come_and_go(root: Path) -> None:
    """A guide that names a missing bike is a new problem, and a gone one when the states change places."""
    before = copy_of(root)
    guide = root / "content" / "guides" / "two.md"
    guide.write_text(guide.read_text("utf-8") + '\nThe {{ bike("pellimor-none") }}.\n', "utf-8")
    report = assess_impact(root, str(before))
    again = assess_impact(before, str(root))

    (problem,) = report.new_problems
    assert (problem.file, problem.line) == ("content/guides/two.md", 8)
    assert "pellimor-none" in problem.what
    assert again.gone_problems == report.new_problems
    assert report.errors == report.new_problems


def test_a_price_that_is_old_now_is_a_new_warning(root: Path) -> None:
    """The warning that `vet` gives, judged by `updated` of each state."""
    report = changed(root, ("date: 2026-10-04", "date: 2025-10-04"))

    assert {problem.severity for problem in report.new_problems} == {"warning"}
    assert {problem.file for problem in report.new_problems} == {f"bikes/{FENNO}.yaml"}
    assert report.errors == ()


@pytest.mark.parametrize("broken", ["after", "before"])
def test_a_side_with_errors_is_told_and_the_rest_compared(root: Path, broken: str) -> None:
    """The unreadable bike is left out of both states; the other is compared."""
    before = copy_of(root)
    rewrite(spec(root), *SMALLER_BATTERY)
    side = root if broken == "after" else before
    rewrite(spec(side, TRIAL), ("mass: 26.1 kg", "mass: 26.1 kW"))
    (root / "content" / "guides" / "two.md").write_text("---\nno: title\n---\n", "utf-8")
    report = assess_impact(root, str(before))

    assert [(c.slug, c.what, c.was) for c in report.bikes if c.slug == TRIAL] == [
        (TRIAL, "not readable", broken)
    ]
    assert ids(report.moves) == by_hand(before, before_with(root, before), FENNO)
    assert report.swaps == ()
    assert report.errors
    assert any("has errors" in note for note in report.notes)


def before_with(root: Path, before: Path) -> Path:
    """A publication with the later bike and the readable content."""
    mixed = shutil.copytree(before, root.with_name("mixed"))
    shutil.copy(spec(root), spec(mixed))
    return mixed


def test_an_empty_side_is_no_traceback(root: Path, tmp_path: Path) -> None:
    """Every bike is added; the missing content of the earlier state is a gone problem."""
    empty = tmp_path / "empty"
    (empty / "bikes").mkdir(parents=True)
    report = assess_impact(root, str(empty))

    assert [change.what for change in report.bikes] == ["added", "added"]
    assert report.moves == ()
    assert any(problem.file == "content/site.yaml" for problem in report.gone_problems)


def test_the_report_is_the_same_each_time(root: Path) -> None:
    before = copy_of(root)
    rewrite(spec(root), *SMALLER_BATTERY, ("pulses: 36", "pulses: 18"))

    assert format_json(assess_impact(root, str(before))) == format_json(
        assess_impact(root, str(before))
    )
