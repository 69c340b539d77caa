"""Which figures of a guide have moved since it was last checked against the data."""

import re
from dataclasses import dataclass
from html import unescape

from markupsafe import Markup

from generator.content.model import Text
from generator.pages.feed import moved_figures
from generator.pages.frame.renderer import Renderer

_FIGURE = re.compile(r'<data class="figure" data-bike="([^"]*)" data-figure="([^"]*)"')


@dataclass(frozen=True)
class MovesSinceCheck:
    """The figures of a text compared with the newest record no later than the day of its check."""

    record: str
    """Day of the record, such as `2026-11-20`; empty if it is the day of the check."""
    bikes: list[moved_figures.BikeMoves]
    moved: int
    """Number of figures that moved."""
    named: int
    """Number of figures that the text names."""

    @property
    def words(self) -> str:
        """The count, such as `9 of the 47 figures that it names have moved`."""
        if self.named == 1:
            return f"the one figure that it names has {'' if self.moved else 'not '}moved"
        count = f"{self.moved or 'none'} of the {self.named} figures that it names"
        return f"{count} {'have' if self.moved > 1 else 'has'} moved"


def find_moves_since_check(
    renderer: Renderer, text: Text, html: Markup, path: str
) -> MovesSinceCheck | None:
    """What moved since the check; None if the text has no day of a check, names no figure, or no record is old enough."""
    if text.checked is None or renderer.history.last is None:
        return None
    old = [release for release in renderer.history.releases if release.day <= text.checked]
    named = {(unescape(bike), unescape(figure)) for bike, figure in _FIGURE.findall(html)}
    if not old or not named:
        return None
    found = renderer.history.find_moves_since(old[-1], named)

    def name_bike(slug: str) -> str:
        bike = renderer.table.bike(slug)
        assert bike is not None
        return bike.full_name

    record = "" if old[-1].day == text.checked else old[-1].day.isoformat()
    return MovesSinceCheck(
        record,
        moved_figures.group_by_bike(renderer, found, name_bike, path),
        sum(map(len, found.values())),
        len(named),
    )
