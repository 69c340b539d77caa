"""Hostile and very large conditions give a fault with its line, never a traceback."""

import pytest

from tests.pages.prose.holds_example import HEAVIEST, LIGHTEST, block, leaving_out, rendered

HOSTILE = [
    block('number_of({"mass": "at most ' + "9" * 400 + ' kg"}) == 1', "x"),
    block('number_of({"mass": "at most 1e999 kg"}) == 1', "x"),
    block('number_of({"mass": ' + "9" * 4000 + "}) == 1", "x"),
    block("number_of({}) == " + "9" * 3000, "x"),
    block('number_of({"a": ' + '{"a": ' * 60 + "1" + "}" * 60 + "}) == 1", "x"),
    block('number_of({1: 2, none: 3, true: "x"}) == 1', "x"),
    block('number_of({"use": ["city"]}) == 1', "x"),
    block('least(["oskelm-talli"], {"a": 1})', "x"),
    block('least("' + "a" * 100_000 + '", "mass")', "x"),
    block('least("oskelm-talli", "' + "a." * 50_000 + '")', "x"),
    block('only("\\ue002\\ue003", {})', "x"),
    block("(" * 300 + LIGHTEST + ")" * 300, "x"),
    block(" and ".join([LIGHTEST] * 500), "x"),
    block("not " * 500 + LIGHTEST, "x"),
    "{% holds " * 3000,
    "{% raw %}" * 5000 + "{% endholds %}",
    "\ue0020\ue004x\ue0030\ue004" + block(HEAVIEST, "y\ue0030\ue004"),
    block(LIGHTEST, "x" + "\ue0039\ue004" * 50),
    '{{ "\\ue0020\\ue004" }}' + block(HEAVIEST, '{{ "\\ue0030\\ue004" }}'),
    "{% for a in range(9000) %}" + block("least(a, a)", "x") + "{% endfor %}",
    block('number_of(where={"use": "city"}, **{}) == 1', "x"),
    block('number_of(least("oskelm-talli", "mass")) == 1', "x"),
    block('meets("oskelm-talli", {"use": number_of({})})', "x"),
]


@pytest.mark.parametrize("number", range(len(HOSTILE)))
def test_no_condition_whatever_ends_in_a_traceback(number: int) -> None:
    html, problems = rendered(HOSTILE[number])

    assert not set("\ue002\ue003\ue004\ue005") & set(html)
    assert all(problem.what and problem.mend and problem.line >= 5 for problem in problems)


def test_ten_thousand_blocks_are_worked_through_or_refused() -> None:
    body = "\n".join([block(LIGHTEST, "a"), block(HEAVIEST, "b")] * 100)
    html, problems = rendered(body, leaving_out())
    assert html.count("a") == 100
    assert len(problems) == 100
    _, problems = rendered("\n\n".join([block(LIGHTEST, "a")] * 10_001))
    assert any("more than 1000 tested sentences" in problem.what for problem in problems)
