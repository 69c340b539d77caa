"""The description under a video or a post, in plain text of limited length.

Disclosures come first and are never cut. If the text gets too long, figures, corrections and sources are cut from the
end of their lists, and the text says how many more the page has.

* write_description    the whole text
* format_figure_line   one figure with interval, basis and conditions
* to_plain_text        a text on one line
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from generator.content.texts import chapters
from generator.figures.model import Figure
from generator.handout.conditions import is_at_limit, say_conditions
from generator.handout.subject import HandoutSubject
from generator.handout.ties import format_link
from generator.pages.frame.numbers import figure_text, format_interval
from generator.pages.frame.renderer import Renderer
from generator.pages.notices import cautions
from generator.specs.bike import Bike
from generator.specs.english import day_in_words

MOST = 5000
"""Most characters of a description. Common practice of video sites, no source."""
FEWEST = 3
"""Lines that a block keeps when it is cut."""
PARTS = {
    "assist": "feel",
    "motor": "feel",
    "hills": "steep",
    "battery": "cost",
    "range": "cost",
    "spec": "law",
}
"""Section of a bike's page whose cautions apply to a figure, by the figure's group."""


@dataclass
class DescriptionBlock:
    """A part of the description: a title and lines."""

    title: str
    lines: list[str]
    bullets: bool = True
    cuttable: bool = False
    cut: int = field(default=0, init=False)
    """Lines cut from the end."""

    def to_text(self) -> str:
        start = "- " if self.bullets else ""
        lines = [start + line for line in self.lines]
        if self.cut:
            lines.append(f"{start}and {self.cut} more on the page")
        return "\n".join([self.title, *lines] if self.title else lines)

    def shorten(self) -> None:
        self.lines.pop()
        self.cut += 1


def write_description(renderer: Renderer, subject: HandoutSubject) -> str:
    """The whole text, ending in a line break."""
    blocks = [
        DescriptionBlock("", list(subject.disclosures), bullets=False),
        DescriptionBlock("", [subject.title, subject.summary], bullets=False),
        _build_chapters(subject),
        DescriptionBlock(
            "Every figure, with how it was worked out and from what:",
            [subject.address],
            bullets=False,
        ),
        DescriptionBlock(
            "Figures",
            [format_figure_line(renderer, subject, figure) for figure in subject.figures],
            cuttable=True,
        ),
        DescriptionBlock("Where they are sold", [format_link(link) for link in subject.links]),
        DescriptionBlock("Corrected since", list(_list_corrections(subject)), cuttable=True),
        DescriptionBlock("Sources", list(_list_sources(subject)), cuttable=True),
        DescriptionBlock("Cautions", _list_cautions(subject)),
        DescriptionBlock("", [renderer.settings.title, renderer.settings.notice], bullets=False),
    ]
    for block in blocks:
        block.lines = [to_plain_text(line) for line in block.lines if line.strip()]
    return _fit_blocks([block for block in blocks if block.lines])


def _fit_blocks(blocks: Sequence[DescriptionBlock]) -> str:
    text = _join_blocks(blocks)
    while len(text) > MOST:
        longest = max(
            (block for block in blocks if block.cuttable and len(block.lines) > FEWEST),
            key=lambda block: len(block.to_text()),
            default=None,
        )
        if longest is None:
            return text[: MOST - 2].rstrip() + "…\n"
        longest.shorten()
        text = _join_blocks(blocks)
    return text


def _join_blocks(blocks: Iterable[DescriptionBlock]) -> str:
    return "\n\n".join(block.to_text() for block in blocks) + "\n"


def _build_chapters(subject: HandoutSubject) -> DescriptionBlock:
    """The guide's sections, with times if its front matter has them."""
    if subject.text is None or not subject.sections:
        return DescriptionBlock("", [])
    if not subject.text.chapters:
        return DescriptionBlock("In this guide", list(subject.sections))
    shown = dict(
        zip(chapters.find_sections(subject.text.body), subject.sections, strict=False)
    )  # a heading may hold live text
    lines = [f"{each.time} {shown.get(each.title, each.title)}" for each in subject.text.chapters]
    return DescriptionBlock("Chapters", lines, bullets=False)


def format_figure_line(renderer: Renderer, subject: HandoutSubject, figure: Figure) -> str:
    """A figure with its interval, basis and conditions; with the bike's name unless the subject is one bike."""
    name = ""
    if subject.sort != "bike":
        bike = renderer.table.bike(figure.bike)
        name = f"{bike.full_name}: " if bike else ""
    likely = format_interval(figure, renderer.system)
    shown = figure_text(figure, first=renderer.system) + (f", likely {likely}" if likely else "")
    shown = f"at least {shown}" if is_at_limit(figure) else shown
    condition = say_conditions(figure, renderer.content, renderer.system)
    return f"{name}{figure.kind.title}: {'; '.join(filter(None, (shown, figure.basis, condition)))}"


def _list_corrections(subject: HandoutSubject) -> Iterable[str]:
    for bike in subject.bikes:
        for one in sorted(bike.corrections, key=lambda each: each.date, reverse=True):
            yield (
                f"{bike.full_name}, {one.key.replace('_', ' ').replace('.', ' ')}: {one.now}, not {one.was} as first given. "
                f"{one.reason} ({day_in_words(one.date)})"
            )


def _list_sources(subject: HandoutSubject) -> Iterable[str]:
    for bike in subject.bikes:
        for source in bike.sources:
            seen = f", seen {day_in_words(source.seen)}" if source.seen else ""
            url = f" {source.url}" if source.url else ""
            yield f"{bike.full_name}: {source.title}{seen}{url}"


def _list_cautions(subject: HandoutSubject) -> list[str]:
    return list(dict.fromkeys([*_find_cautions(subject), cautions.LOCAL_LAW]))


def _find_cautions(subject: HandoutSubject) -> Iterable[str]:
    """Cautions for a subject: all of a bike's, but for a guide only those that apply to its figures."""
    groups = {figure.kind.group for figure in subject.figures}
    parts = {PARTS[group] for group in groups if group in PARTS}
    if subject.sort != "guide":
        parts = set(PARTS.values())
    for part in dict.fromkeys(PARTS.values()):
        for bike in subject.bikes if part in parts else ():
            yield from cautions.find_cautions(part, bike)
    if subject.sort != "guide":
        yield from map(_choose_load_caution, subject.bikes)


def _choose_load_caution(bike: Bike) -> str:
    return cautions.LOAD if bike.permitted_mass else cautions.LOAD_UNKNOWN


def to_plain_text(text: str) -> str:
    """The text on one line with plain spaces."""
    return " ".join(text.replace("\u202f", " ").split())
