"""Chapters of a video: times for a guide's own sections, in its front matter.

chapters:
  Two ways to the road: 0:00
  The slow hill: 2:45

* find_sections    titles of a text's sections
* read_chapters    reads the chapters, or what is wrong with them
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches

from generator.specs.problems import Problem
from generator.specs.yaml.located import LocatedMapping

_TITLE = re.compile(r"##[ \t]+(.+?)[ \t]*#*[ \t]*")
_FENCE = re.compile(r"[ \t]{0,3}(`{3,}|~{3,})")
_TIME = re.compile(r"(?:(\d{1,2}):)?([0-5]?\d):([0-5]\d)")


@dataclass(frozen=True)
class Chapter:
    """A chapter of a guide's video."""

    title: str
    """Heading of the section, as written."""
    start: int
    """Time from the beginning of the video. [s]"""

    @property
    def time(self) -> str:
        """Start as it is printed: `2:45` or `1:02:03`."""
        minutes, seconds = divmod(self.start, 60)
        hours, minutes = divmod(minutes, 60)
        return f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"


def find_sections(body: str) -> list[str]:
    """Headings `##` of a Markdown text, as written."""
    return list(_iterate_sections(body))


def _iterate_sections(body: str) -> Iterator[str]:
    fence = ""
    for line in body.split("\n"):
        mark = _FENCE.match(line)
        if mark and not fence:
            fence = mark[1]
        elif mark and mark[1].startswith(fence):
            fence = ""
        elif not fence and (title := _TITLE.fullmatch(line)):
            yield title[1]


def read_chapters(head: LocatedMapping, body: str) -> tuple[tuple[Chapter, ...], list[Problem]]:
    """The chapters in a text's front matter, which has passed its schema.

    A chapter's name is a section's heading, or the text's title for the part before the first section. The first chapter
    begins at 0:00 and each later than the one before.
    """
    known = [head.value["title"].strip(), *find_sections(body)]
    chapters: list[Chapter] = []
    problems: list[Problem] = []
    for title, words in head.value.get("chapters", {}).items():
        keys = ("chapters", title)
        if title not in known:
            near = get_close_matches(title, known, n=1)
            what = f"there is no section {title!r} in this text"
            mend = f"Did you mean {near[0]!r}" if near else "Write the title of one of its ## lines"
            problems.append(head.make_problem(keys, what, mend, at_key=True))
        time = _TIME.fullmatch(str(words).strip())
        if time is None:
            what = f"{str(words)[:40]!r} is not a time"
            mend = "Write minutes and seconds, such as 2:45, and from an hour on 1:02:45"
            problems.append(head.make_problem(keys, what, mend))
            continue
        start = int(time[1] or 0) * 3600 + int(time[2]) * 60 + int(time[3])
        if not chapters and start:
            what = f"the first chapter begins at {words}"
            problems.append(head.make_problem(keys, what, "Let the first one begin at 0:00"))
        elif chapters and start <= chapters[-1].start:
            what = f"this chapter begins at {words}, no later than the one before"
            mend = f"Write a time after {chapters[-1].time}, or change the order"
            problems.append(head.make_problem(keys, what, mend))
        chapters.append(Chapter(title, start))
    return tuple(chapters), problems
