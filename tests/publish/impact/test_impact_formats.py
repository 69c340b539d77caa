"""The report as text, Markdown and JSON, and when the command ends with exit code 1."""

import html
import json
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Literal

import markdown
import pytest

from generator.publish.impact.model import (
    BikeChange,
    BrokenSentence,
    FigureMove,
    HeadlineFigure,
    Impact,
    KeyChange,
    ListRank,
    LiveFigureChange,
    MembershipChange,
    PageChanges,
    RankSwap,
)
from generator.publish.impact.report.as_json import format_json
from generator.publish.impact.report.as_markdown import MOST_BYTES, escape_text, format_markdown
from generator.publish.impact.report.as_text import format_text
from generator.publish.impact.report.telling import THRESHOLDS, reaches_threshold
from generator.publish.impact.report.wording import format_ordinal
from generator.specs.problems import Problem
from tests.publish.impact.impacts import copy_of, rewrite, spec
from tests.publish.processes import generator

NASTY = (
    "|x|y| `code` <img src=x onerror=alert(1)> </details> @everyone #12 "
    "https://evil.example www.evil.example *b* _i_ [l](javascript:1) \\| ~~s~~ $x$ \u202e \x1b[31m"
)

MOVE = FigureMove(
    bike="some-bike",
    name="Some Bike",
    figure="range.rolling",
    title="Range, rolling",
    headline=True,
    unit="m",
    old=(84000.0, 74000.0, 89000.0),
    new=(66000.0, 58000.0, 71000.0),
    old_text="84 km, likely 74–89",
    new_text="66 km, likely 58–71",
    change=-0.214,
    old_basis="computed",
    new_basis="estimated",
    width=0.6,
    why=("battery.energy: 504 Wh → 400 Wh (line 31)",),
)
ERROR = Problem("bikes/a.yaml", 1, 1, "it is wrong", "Mend it")
WARNING = replace(ERROR, severity="warning")


def whole(word: str, count: int = 1) -> Impact:
    """A report in which every contributor's text is `word`."""
    move = replace(MOVE, name=word, title=word, why=(word,), old_text=word)
    keys = tuple(KeyChange(word, word, word, word, 3) for _ in range(count))
    bikes = tuple(BikeChange(f"bike-{n}", word, "changed", "", keys) for n in range(count))
    return Impact(
        before=word,
        after=word,
        bikes=bikes,
        content=keys,
        moves=tuple(replace(move, bike=f"bike-{n}") for n in range(count)),
        swaps=(RankSwap("range.rolling", word, "a", "b", (word,), True, word),) * count,
        lists=(MembershipChange(word, ("a", "b"), "entered"),) * count,
        live=(LiveFigureChange(word, 3, "a", "b", word, word),) * count,
        sentences=(BrokenSentence(word, 3, word),) * count,
        pages=PageChanges((word,), (word,), (word,)),
        new_problems=(replace(WARNING, what=word),) * count,
        gone_problems=(replace(WARNING, what=word),) * count,
        notes=(word,),
    )


def test_nothing_that_a_contributor_writes_is_markup() -> None:
    """Checked with an independent renderer of Markdown."""
    written = format_markdown(whole(NASTY))
    page = markdown.markdown(written, extensions=["tables", "md_in_html"])

    assert "<img" not in page
    assert not re.search(r"<(a|code|em|del|script)[ >]", page)
    assert written.count("<details>") == written.count("</details>") > 3
    assert not re.search(r"@\w|#\d|https?://|www\.\w", html.unescape(written))
    rows = [line for line in written.splitlines() if line.startswith("|")]
    assert {line.count("|") for line in rows} == {3, 6, 7}
    assert "\x1b" not in written
    assert "\u202e" not in written


@pytest.mark.parametrize("words", ["@someone", "#12", "https://a.example", "www.a.example"])
def test_hosts_find_no_mention_and_no_link(words: str) -> None:
    """A break stays between sign and name once the entities are decoded (CommonMark 0.31, 2.5)."""
    shown = html.unescape(escape_text(words))

    assert shown != words
    assert shown.replace("\u200b", "") == words


def test_plain_words_stay_readable() -> None:
    assert (
        escape_text("84 km, likely 74–89 → 66 km (line 31)")
        == "84 km, likely 74–89 → 66 km (line 31)"
    )


@pytest.mark.parametrize("count", [1, 30, 400])
def test_a_comment_is_never_too_long(count: int) -> None:
    """It stays below the limit, every fold is closed, and omitted folds are counted."""
    written = format_markdown(whole("word " * 40, count))

    assert len(written.encode()) <= MOST_BYTES
    assert written.count("<details>") == written.count("</details>")
    assert ("more folds that have no room here" in written) == (count > 1)


def test_the_first_screen_is_the_summary() -> None:
    lines = format_markdown(whole("word", 40)).splitlines()

    assert lines[0] == "### What changes in the guide from word to word"
    assert "| Figures that read otherwise | 40 |" in lines[:20]
    assert "<details><summary>word (bike-0): changed, 1 figure</summary>" in lines
    assert next(n for n, line in enumerate(lines) if line.startswith("<details>")) < 80


def test_text_steers_no_terminal() -> None:
    """The text has only line ends and printable characters, and long lists are cut."""
    written = format_text(whole(NASTY, 100))

    assert all(sign.isprintable() or sign in "\n\u00a0\u202f" for sign in written)
    assert "more; --format json tells all" in written


def test_text_says_basis_interval_and_cause() -> None:
    written = format_text(Impact("a", "b", moves=(MOVE,)))

    assert "Because of battery.energy: 504 Wh → 400 Wh (line 31):" in written
    assert "84 km, likely 74–89 → 66 km, likely 58–71 (−21 %;" in written
    assert "computed → estimated" in written
    assert "interval narrower, 0.6 of what it was" in " ".join(written.split())


def test_json_keeps_its_keys() -> None:
    """Other people's scripts may rely on these keys."""
    record = json.loads(format_json(whole("word")))

    assert record["format"] == 1
    assert list(record) == [
        *("format", "before", "after", "summary", "bikes", "content", "figures", "ranks"),
        *("lists", "live_figures", "sentences", "pages", "problems", "notes", "region"),
    ]
    assert list(record["summary"]) == [
        *("figures", "folded", "basis", "widths", "ranks", "clear_ranks", "lists"),
        *("live_figures", "sentences", "new_problems", "gone_problems", "errors"),
    ]
    (figure,) = record["figures"]
    assert list(figure) == [
        *("bike", "name", "figure", "title", "headline", "unit", "old", "new"),
        *("change", "width", "shown", "why"),
    ]
    assert list(figure["new"]) == ["value", "low", "high", "text", "basis"]
    assert list(record["bikes"][0]) == [
        *("slug", "name", "what", "was", "keys", "idle", "standings"),
    ]
    assert list(record["content"][0]) == ["file", "key", "old", "new", "line"]
    assert list(record["ranks"][0]) == [
        *("figure", "title", "ahead", "behind", "lists", "clear", "sentence"),
    ]
    assert list(record["live_figures"][0]) == ["file", "line", "bike", "figure", "old", "new"]
    assert list(record["pages"]) == ["added", "gone", "changed"]
    assert list(record["problems"]) == ["new", "gone", "errors"]


STANDING = HeadlineFigure(
    *("range.rolling", "Range, rolling", "m", 71000.0, 57000.0, 80000.0),
    *("71 km, likely 57–80", "computed", (ListRank("", 9, 31), ListRank("For touring", 2, 5))),
)
LAWS = (
    *("Law, Elsewhere, Cycles: none of its categories", "Law, Elsewhere, Three classes: Class 1"),
    *("Law, Home, Cycles: cannot be told", "Law, Home, Type approval: EPAC"),
    *(f"Law, Region {n}, Cycles: cycle" for n in range(7)),
)


@pytest.mark.parametrize(("what", "way"), [("added", "entered"), ("removed", "left")])
@pytest.mark.parametrize("tell", [format_text, format_markdown])
def test_a_bike_that_comes_or_goes(
    what: Literal["added", "removed"],
    way: Literal["entered", "left"],
    tell: Callable[[Impact], str],
) -> None:
    """Its headline figures with their places, and one line of legal categories, own region first."""
    change = BikeChange("some-bike", "Some Bike", what, standings=(STANDING,))
    lists = tuple(MembershipChange(name, ("some-bike",), way) for name in LAWS)
    written = " ".join(tell(Impact("a", "b", (change,), lists=lists, region="Home")).split())

    assert "Range, rolling: 71 km, likely 57–80; 9th of 31 bikes, 2nd of 5 “For touring”" in written
    assert written.count("Law: ") == 1
    assert "Law, " not in written
    assert "Law: Home EPAC; Elsewhere Class 1; Region 0 cycle; " in written
    assert "Region 3 cycle; and 5 more" in written


@pytest.mark.parametrize("number", ["1st", "2nd", "3rd", "4th", "11th", "12th", "21st", "113th"])
def test_ordinals(number: str) -> None:
    assert format_ordinal(int(number[:-2])) == number


INTERVAL_ONLY = replace(
    MOVE,
    new=(84000.0, 73000.0, 89000.0),
    new_text="84 km, likely 73–89",
    new_basis="computed",
    change=-0.0001,
    width=1.05,
)


@pytest.mark.parametrize("tell", [format_text, format_markdown])
def test_an_interval_alone_is_folded(tell: Callable[[Impact], str]) -> None:
    """A value that reads the same has no row and no percentage; its interval is in the folded line."""
    written = " ".join(tell(Impact("a", "b", moves=(INTERVAL_ONLY,))).split())

    assert "The shown value stays the same: Range, rolling 84 km, interval 74–89 → 73–89" in written
    assert "Headline figures" not in written
    assert "Because of" not in written
    assert "±" not in written
    assert "none; 1 more moved and show the same value" in written


def test_a_text_that_prints_the_interval() -> None:
    """The value is printed once if only the interval reads differently."""
    each = LiveFigureChange(
        "content/a.md", 3, "a", "b", "120 min, likely 90–120", "120 min, likely 91–120"
    )

    assert "content/a.md:3: a b: 120 min, interval 90–120 → 91–120" in format_text(
        Impact("a", "b", live=(each,))
    )


def test_json_has_no_infinity() -> None:
    endless = replace(MOVE, new=(float("inf"), 1.0, float("inf")), change=None)
    record = json.loads(format_json(Impact("a", "b", moves=(endless,))))

    assert record["figures"][0]["new"]["value"] is None


@pytest.mark.parametrize(
    ("impact", "least"),
    [
        (Impact("a", "b"), None),
        (Impact("a", "b", errors=(ERROR,)), "errors"),
        (Impact("a", "b", new_problems=(WARNING,)), "warnings"),
        (Impact("a", "b", swaps=whole("x").swaps), "ranks"),
        (Impact("a", "b", moves=(MOVE,)), "figures"),
        (Impact("a", "b", moves=(replace(MOVE, new_text=MOVE.old_text, new_basis="computed"),)), None),
        (Impact("a", "b", sentences=whole("x").sentences), "figures"),
    ],
)  # fmt: skip
def test_each_threshold_takes_in_those_before_it(impact: Impact, least: str | None) -> None:
    failing = [threshold for threshold in THRESHOLDS if reaches_threshold(impact, threshold)]

    assert failing == (list(THRESHOLDS[THRESHOLDS.index(least) :]) if least else [])


def test_the_command(root: Path) -> None:
    """The threshold sets the exit code; the report is on standard output in any case."""
    before = copy_of(root)
    rewrite(spec(root), ("energy: 504 Wh", "energy: 400 Wh"))
    lenient = generator("impact", str(before), "--root", str(root))
    strict = generator("impact", str(before), str(root), "--fail-on", "figures", "--format", "json")

    assert lenient.returncode == 0
    assert lenient.stdout.startswith(f"What changes in the guide from {before} to the working tree")
    assert strict.returncode == 1
    assert json.loads(strict.stdout)["summary"]["figures"] > 10
    assert lenient.stderr == strict.stderr == ""


@pytest.mark.parametrize(
    "arguments", [(), ("no-such-revision",), ("HEAD", "--fail-on", "all"), ("--", "--help")]
)
def test_a_mistyped_impact_ends_with_2(arguments: tuple[str, ...]) -> None:
    ended = generator("impact", *arguments)

    assert ended.returncode == 2
    assert "Usage: python -m generator impact" in ended.stderr
    assert "Traceback" not in ended.stderr
