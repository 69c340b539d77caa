"""What moved: between releases, since the last one, and since a guide was checked."""

import re
from dataclasses import replace
from datetime import date

import pytest
from selectolax.lexbor import LexborHTMLParser

from generator.content.model import Content
from generator.figures.records import record
from generator.figures.show import format_figure as shown
from generator.pages.feed import changes, moved_figures, site_feed
from generator.pages.frame import urls
from generator.pages.frame.numbers import figure_html
from generator.pages.guides import since_checked
from tests.pages import site_example as example
from tests.pages.releases_example import (
    ALPA,
    BETA,
    DELTA,
    FAR,
    GAMMA,
    NOVEMBER,
    OCTOBER,
    content,
    entries,
    released,
    renderer,
    with_figure,
    without_bike,
    words,
)
from tests.pages.rendered import outputs_of

LISTS = {"far": (BETA, GAMMA)}


def page(given: Content) -> LexborHTMLParser:
    (output,) = changes.outputs(renderer(given))
    return LexborHTMLParser(output.data.decode())


def part(given: Content, day: date) -> str:
    """The section of a day."""
    (section,) = page(given).css(f"section[aria-labelledby=day-{day}]")
    return words(LexborHTMLParser(f"<main>{section.html}</main>"))


def test_corrections_and_revisions_stand_under_their_day_newest_first() -> None:
    found = page(content())
    days = [node.text() for node in found.css("section.side h2")]

    assert days == ["5 October 2026", "1 September 2026"]
    assert "Invor Beta. Corrected, mass: was 25 kg, is now 26.1 kg. Misread." in words(found)
    assert "Changed by the maker, firmware: Milder." in words(found)
    assert "List price seen" not in words(found)  # dated too, and no change


def test_what_moved_between_two_releases() -> None:
    """A figure by its value, a new bike, one taken out, and a list; each is named once."""
    first = with_figure(released(OCTOBER, {"far": (ALPA, BETA)}), ALPA, "range.rolling", 70_000.0)
    first = without_bike(first, GAMMA)
    second = without_bike(released(NOVEMBER, LISTS), DELTA)
    said = part(content(first, second), NOVEMBER)

    assert "Release: 1 new bike, 1 bike taken out, 1 figure of 1 bike reads otherwise" in said
    assert "New bikes: Invor Gamma" in said
    assert "Bikes taken out: Invor Delta" in said
    assert "Onto the list “Far ones”: Invor Gamma" in said
    assert "Off the list “Far ones”: Invor Alpa" in said
    assert "Invor Alpa: 1 figure Range on the loop: 70 km (43 mi) → is now 40 km (24.9 mi)" in said
    assert "the first record, with 3 bikes" in part(content(first, second), OCTOBER)


def test_less_than_the_shown_precision_is_no_move() -> None:
    """40.04 km with an interval of 36 to 44 reads as 40 km, as 40 km does; 40.6 km reads as 41."""
    now = released(NOVEMBER, LISTS)
    for value, moves in ((40_040.0, 0), (40_600.0, 1)):
        before = with_figure(released(OCTOBER, LISTS), ALPA, "range.rolling", value)
        movement = record.compare_records(before, now, example.table(), "metric")
        assert sum(map(len, movement.moved.values())) == moves, value


def test_an_interval_alone_is_no_move() -> None:
    before = released(OCTOBER, LISTS)
    numbers = {**before.figures[ALPA], "range.rolling": (40_000.0, 37_000.0, 43_000.0)}
    before = replace(before, figures={**before.figures, ALPA: numbers})

    assert not record.compare_records(before, released(NOVEMBER, LISTS), example.table(), "metric")


def test_a_new_figure_is_told_once_and_not_for_each_bike() -> None:
    now = released(NOVEMBER, LISTS)
    earlier = {
        slug: {id: each for id, each in own.items() if id != "novel.thing"}
        for slug, own in now.figures.items()
    }
    before = replace(now, day=OCTOBER, figures=earlier)
    movement = record.compare_records(before, now, example.table(), "metric")

    assert [kind.id for kind in movement.new_kinds] == ["novel.thing"]
    assert movement.moved == {}


def test_a_price_in_another_currency_is_read_with_its_own() -> None:
    table = example.table()
    euros = example.kind("spec.price", "Price", example.units.make_money_unit("EUR"))
    dollars = replace(euros, unit=example.units.make_money_unit("USD"))
    table = replace(table, kinds={**table.kinds, "spec.price": euros})
    table.figures[GAMMA]["spec.price"] = example.figure(GAMMA, dollars, 900.0, 900.0, 900.0)
    made = released(OCTOBER, LISTS, table)

    assert made.units == {GAMMA: {"spec.price": "USD"}}
    old = record.restore_figure(made, GAMMA, "spec.price", table)
    assert old is not None
    assert shown(old) == "900\xa0USD"


def test_since_the_last_release() -> None:
    same = content(released(NOVEMBER, LISTS))
    assert "Nothing: all figures read as in the record of 1 November 2026." in words(page(same))

    other = with_figure(released(NOVEMBER, LISTS), BETA, "spec.mass", 100_000.0)
    said = words(page(content(other))).split("Since the last release")[1]
    assert (
        "Different from the record of 1 November 2026: 1 figure of 1 bike reads otherwise" in said
    )

    assert "Since the last release" not in words(page(content()))


def test_long_lists_are_folded_and_counted() -> None:
    """Moves are in collapsed parts; beyond the limit for a bike they are only counted."""
    before = released(OCTOBER, LISTS)
    figures = {
        slug: {id: (2 * v, 2 * low, 2 * high) for id, (v, low, high) in own.items()}
        for slug, own in before.figures.items()
    }
    given = content(replace(before, figures=figures), released(NOVEMBER, LISTS))
    (section,) = page(given).css(f"section[aria-labelledby=day-{NOVEMBER}]")

    assert len(section.css("details details")) == 3
    assert len(section.css("li")) == len(section.css("details li")) == 3 * len(example.KINDS)
    told = moved_figures.group_by_bike(
        renderer(given),
        renderer(given).history.movements[0][1].moved,
        given.releases[1].name,
        "x",
        most=2,
    )
    assert [(len(each.items), each.more) for each in told] == [(2, len(example.KINDS) - 2)] * 3


def test_a_line_names_so_many_and_counts_the_rest(monkeypatch: pytest.MonkeyPatch) -> None:
    """A release with a thousand new bikes does not make a page of a thousand names."""
    monkeypatch.setattr(moved_figures, "MOST_NAMED", 1)
    monkeypatch.setattr(moved_figures, "MOST_BIKES", 1)
    first = without_bike(without_bike(released(OCTOBER, LISTS), GAMMA), BETA)
    said = part(content(first, released(NOVEMBER, LISTS)), NOVEMBER)

    assert "New bikes: Invor Beta, and 1 more" in said
    twice = {
        slug: {id: (2 * v, 2 * low, 2 * high) for id, (v, low, high) in own.items()}
        for slug, own in released(OCTOBER, LISTS).figures.items()
    }
    given = content(replace(released(OCTOBER, LISTS), figures=twice), released(NOVEMBER, LISTS))
    assert re.search(r"Others: Invor Beta \d+ figures?, and 1 more *\.", part(given, NOVEMBER))


def test_old_values_are_no_published_figures() -> None:
    """Only current values are marked as figures; another test compares those with the download."""
    before = with_figure(released(OCTOBER, LISTS), ALPA, "range.rolling", 70_000.0)
    found = page(content(before, released(NOVEMBER, LISTS)))

    assert "70" in words(found)
    assert found.css("data") == []


def test_the_feed_has_one_entry_for_each_release() -> None:
    before = with_figure(released(OCTOBER, LISTS), ALPA, "range.rolling", 70_000.0)
    given = content(before, released(NOVEMBER, LISTS))
    (output,) = site_feed.outputs(renderer(given))
    found = entries(output.data)
    where = "https://book.example/guide/changes/#release-2026-"

    assert found[f"{where}11-01"][:2] == (
        "Release of 1 November 2026: 1 figure of 1 bike reads otherwise",
        "2026-11-01",
    )
    assert (
        "<li>Range on the loop: 70\xa0km (43\xa0mi) → 40\xa0km (24.9\xa0mi)</li>"
        in (found[f"{where}11-01"][2])
    )
    assert "the first record, with 4 bikes" in found[f"{where}10-01"][0]
    corrected = [html for _, _, html in found.values() if "Misread" in html]
    assert len(corrected) == 1  # with its bike, and not once more here


def test_a_guide_says_what_moved_since_it_was_checked() -> None:
    """The example's guide names one figure and was checked on 1 November."""
    old = with_figure(released(NOVEMBER, LISTS), BETA, "range.rolling", 70_000.0)
    html = guide(content(old))

    assert (
        "Checked against the figures on 1 November 2026; since then the one figure that it names has moved."
        in html
    )
    assert "Invor Beta Range on the loop: 70 km (43 mi) → is now 90 km (56 mi)" in html


def test_a_record_before_the_check_is_named() -> None:
    """Of several records the newest is used."""
    september = with_figure(released(date(2026, 9, 1), LISTS), BETA, "range.rolling", 70_000.0)
    html = guide(content(september, released(OCTOBER, LISTS)))

    assert (
        "; since the record of 1 October 2026 the one figure that it names has not moved." in html
    )


def test_a_record_after_the_check_says_nothing_of_it() -> None:
    html = guide(content(released(date(2026, 11, 2), LISTS)))

    assert "Checked against the figures on 1 November 2026." in html


def test_how_many_moved_in_words() -> None:
    for count, said in ((0, "none of the 47"), (1, "1 of the 47"), (9, "9 of the 47")):
        verb = "have" if count == 9 else "has"
        found = since_checked.MovesSinceCheck("", [], count, 47)
        assert found.words == f"{said} figures that it names {verb} moved"


def test_figures_that_a_guide_does_not_name_do_not_count() -> None:
    old = with_figure(released(NOVEMBER, LISTS), BETA, "spec.mass", 70_000.0)
    given = renderer(content(old))
    named = figure_html(given.table.get(BETA, "range.rolling"))
    found = since_checked.find_moves_since_check(
        given, example.GUIDE, named, "guides/far/index.html"
    )

    assert found is not None
    assert (found.moved, found.named) == (0, 1)


def guide(given: Content) -> str:
    """The guide's page in words."""
    from generator.pages.guides import pages as guide_pages

    made = renderer(given)
    outputs = {each.path: each.data for each in outputs_of(made, guide_pages.plan_guides(made))}
    return words(LexborHTMLParser(outputs[urls.guide("far")].decode()))


def test_the_page_is_the_same_twice() -> None:
    before = with_figure(released(OCTOBER, LISTS), ALPA, "range.rolling", 70_000.0)
    given = content(before, released(NOVEMBER, LISTS), lists=(FAR,))

    assert list(changes.outputs(renderer(given))) == list(changes.outputs(renderer(given)))
