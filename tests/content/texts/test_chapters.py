"""Chapters in a guide's front matter: read in their order, or refused with their line."""

from pathlib import Path

import pytest

from generator.content.read import read_content
from generator.content.texts.chapters import Chapter, find_sections
from tests.content.publication import find_problems_with, write_content

NAME = "guides/first-guide.md"
GUIDE = """\
---
title: First guide
summary: What it says.
{chapters}---

Before the first section.

## Uphill

Text.

```
## Not a section
```

## Downhill: {{{{ term("cadence") }}}} ##

More.

### Too small
"""


def guide(*chapters: str) -> str:
    lines = "".join(f"  {chapter}\n" for chapter in chapters)
    return GUIDE.format(chapters=f"chapters:\n{lines}" if chapters else "")


def test_sections_are_the_second_headings() -> None:
    """Headings in code and smaller headings are no sections; live text stays as written."""
    assert find_sections(guide().split("---\n")[2]) == ["Uphill", 'Downhill: {{ term("cadence") }}']


def test_chapters_are_read(tmp_path: Path) -> None:
    """Times with and without quotes, and with hours, are read; the guide's own title may come first."""
    words = guide(
        "First guide: 0:00", 'Uphill: "1:05"', "'Downhill: {{ term(\"cadence\") }}': 1:00:09"
    )
    content, problems = read_content(write_content(tmp_path, **{NAME: words}))

    assert not problems
    assert content is not None
    chapters = content.guides[0].chapters
    assert [chapter.start for chapter in chapters] == [0, 65, 3609]
    assert [chapter.time for chapter in chapters] == ["0:00", "1:05", "1:00:09"]


def test_a_guide_needs_none(tmp_path: Path) -> None:
    content, problems = read_content(write_content(tmp_path, **{NAME: guide()}))

    assert not problems
    assert content is not None
    assert content.guides[0].chapters == ()


@pytest.mark.parametrize(
    ("chapters", "line", "what", "mend"),
    [
        (("Uphil: 0:00",), 5, "no section 'Uphil'", "Did you mean 'Uphill'"),
        (("Not a section: 0:00",), 5, "no section 'Not a section'", "##"),
        (("Uphill: 0:05",), 5, "the first chapter begins at 0:05", "begin at 0:00"),
        (("First guide: 0:00", "Uphill: 0:00"), 6, "no later than the one before", "after 0:00"),
        (("First guide: 0:00", "Uphill: 1:75"), 6, "'1:75' is not a time", "such as 2:45"),
        (("First guide: 0:00", "Uphill: soon"), 6, "'soon' is not a time", "such as 2:45"),
    ],
)
def test_a_wrong_chapter_is_refused(
    tmp_path: Path, chapters: tuple[str, ...], line: int, what: str, mend: str
) -> None:
    """A wrong chapter is named with its line, what is wrong and what would be right."""
    problems = [
        each for each in find_problems_with(tmp_path, NAME, guide(*chapters)) if what in each.what
    ]

    assert [(each.line, each.severity) for each in problems] == [(line, "error")]
    assert mend in problems[0].mend


def test_a_time_is_printed_as_it_is_usual() -> None:
    """Minutes have no leading zero, seconds have one; hours only when there are any."""
    shown = [Chapter("", start).time for start in (0, 9, 70, 3599, 3600, 36061)]

    assert shown == ["0:00", "0:09", "1:10", "59:59", "1:00:00", "10:01:01"]
