"""What a guide says of its age: when it was last checked against the data, and which of its figures moved since."""

import re
from dataclasses import dataclass
from html import unescape

from markupsafe import Markup

from generator.content.model import Text
from generator.pages.feed import moved_figures
from generator.pages.frame.renderer import Renderer

_FIGURE = re.compile(r'<data class="figure" data-bike="([^"]*)" data-figure="([^"]*)"')


@dataclass(frozen=True)
class SinceChecked:
    """The figures of a text beside the last record of the day on which it was checked, or of one before."""

    record: str
    """Day of the record, such as `2026-11-20`; empty where it is that of the check."""
    bikes: list[moved_figures.OfBike]
    moved: int
    named: int
    """Figures that the text names."""

    @property
    def words(self) -> str:
        """Such as `9 of the 47 figures that it names have moved`."""
        if self.named == 1:
            return f"the one figure that it names has {'' if self.moved else 'not '}moved"
        count = f"{self.moved or 'none'} of the {self.named} figures that it names"
        return f"{count} {'have' if self.moved > 1 else 'has'} moved"


def since_checked(renderer: Renderer, text: Text, html: Markup, path: str) -> SinceChecked | None:
    """None where the text does not say when it was checked, names no figure, or no record is that old."""
    if text.checked is None or renderer.history.last is None:
        return None
    old = [release for release in renderer.history.releases if release.day <= text.checked]
    named = {(unescape(bike), unescape(figure)) for bike, figure in _FIGURE.findall(html)}
    if not old or not named:
        return None
    found = renderer.history.moved_since(old[-1], named)

    def name(slug: str) -> str:
        bike = renderer.table.bike(slug)
        assert bike is not None
        return bike.full_name

    record = "" if old[-1].day == text.checked else old[-1].day.isoformat()
    return SinceChecked(
        record,
        moved_figures.bikes(renderer, found, name, path),
        sum(map(len, found.values())),
        len(named),
    )
