"""A typing mistake on any line of a spec file is named on that line, with the corrected line."""

import re
from collections.abc import Callable

import pytest
import yaml

from generator.specs.yaml import events
from generator.specs.yaml.files import parse_mapping
from tests.specs.sheets import SOUND

LINES = SOUND.splitlines()
KEY = re.compile(r"(\s*(?:- )?)([\w.]+): (\S.*)")
AT = [at for at, line in enumerate(LINES) if KEY.fullmatch(line)]
SLIPS: dict[str, tuple[Callable[[str, str], str], str, str]] = {
    "no colon": ("{} {}".format, "has no colon", "Write '{}: "),
    "no space": ("{}:{}".format, "a space is missing after the colon", "Write '{}: "),
    "double quote": ('{}: "{}'.format, "a quotation mark opened on line {} is never", "Close it"),
    "single quote": ("{}: '{}".format, "a quotation mark opened on line {} is never", "Close it"),
}
BEFORE_BRACKET = "a colon with a space is missing between"
STILL_YAML = {"size: 47-622"}
"""Lines alone in their group: without its colon such a line is a text, which the schema refuses."""


@pytest.mark.parametrize("slip", SLIPS)
@pytest.mark.parametrize("loader", [events.LOADER, yaml.SafeLoader], ids=["fast", "plain"])
def test_every_line(slip: str, loader: type, monkeypatch: pytest.MonkeyPatch) -> None:
    """A typing mistake gives one problem, on its line, with either parser."""
    monkeypatch.setattr(events, "LOADER", loader)
    written, what, mend = SLIPS[slip]
    assert len(AT) > 20
    for at in AT:
        match = KEY.fullmatch(LINES[at])
        assert match is not None
        lead, key, value = match.groups()
        if LINES[at].strip() in STILL_YAML and "quote" not in slip:
            continue
        if slip == "single quote" and "'" in value:
            continue  # the apostrophe closes it: a text after a closing mark, tested elsewhere
        text = "\n".join([*LINES[:at], lead + written(key, value), *LINES[at + 1 :], ""])

        _, problems = parse_mapping(text, "a.yaml")

        assert [problem.line for problem in problems] == [at + 1], LINES[at]
        told = problems[0].what
        assert what.format(at + 1) in told or (BEFORE_BRACKET in told and "quote" not in slip)
        assert problems[0].mend.startswith(mend.format(key))
