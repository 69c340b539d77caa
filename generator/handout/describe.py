"""The text beneath a video or a post: plain, whole, and no longer than such a field takes.

What must be said comes first and is never cut: who gave or paid what. Figures and sources are cut from their ends when
the text gets too long, and the text says how many the page has besides.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from generator.content.texts import chapters
from generator.figures.model import Figure
from generator.handout.conditions import at_its_limit, spoken
from generator.handout.subject import Subject
from generator.handout.ties import link_line
from generator.pages.frame import cautions
from generator.pages.frame.numbers import figure_text, likely_in
from generator.pages.frame.renderer import Renderer, day
from generator.specs.bike import Bike

MOST = 5000
"""Characters.  Common practice of places where videos are shown, no source."""
FEWEST = 3
"""Lines of a block that are kept when it is cut."""
PARTS = {
    "assist": "feel",
    "motor": "feel",
    "hills": "steep",
    "battery": "cost",
    "range": "cost",
    "spec": "law",
}
"""Group of a figure to the section of a bike's page whose cautions go with it."""


@dataclass
class Block:
    title: str
    lines: list[str]
    bullets: bool = True
    cuttable: bool = False
    cut: int = field(default=0, init=False)

    def text(self) -> str:
        start = "- " if self.bullets else ""
        lines = [start + line for line in self.lines]
        if self.cut:
            lines.append(f"{start}and {self.cut} more on the page")
        return "\n".join([self.title, *lines] if self.title else lines)

    def shorten(self) -> None:
        self.lines.pop()
        self.cut += 1


def description(renderer: Renderer, subject: Subject) -> str:
    """The whole text, ending in a line break."""
    blocks = [
        Block("", list(subject.told), bullets=False),
        Block("", [subject.title, subject.summary], bullets=False),
        _chapters(subject),
        Block(
            "Every figure, with how it was worked out and from what:",
            [subject.address],
            bullets=False,
        ),
        Block(
            "Figures",
            [figure_line(renderer, subject, figure) for figure in subject.figures],
            cuttable=True,
        ),
        Block("Where they are sold", [link_line(link) for link in subject.links]),
        Block("Corrected since", list(_corrections(subject)), cuttable=True),
        Block("Sources", list(_sources(subject)), cuttable=True),
        Block("Cautions", _cautions(subject)),
        Block("", [renderer.settings.title, renderer.settings.notice], bullets=False),
    ]
    for block in blocks:
        block.lines = [plain(line) for line in block.lines if line.strip()]
    return _fitted([block for block in blocks if block.lines])


def _fitted(blocks: Sequence[Block]) -> str:
    text = _joined(blocks)
    while len(text) > MOST:
        longest = max(
            (block for block in blocks if block.cuttable and len(block.lines) > FEWEST),
            key=lambda block: len(block.text()),
            default=None,
        )
        if longest is None:
            return text[: MOST - 2].rstrip() + "…\n"
        longest.shorten()
        text = _joined(blocks)
    return text


def _joined(blocks: Iterable[Block]) -> str:
    return "\n\n".join(block.text() for block in blocks) + "\n"


def _chapters(subject: Subject) -> Block:
    """The guide's sections, with times where its front matter gives them."""
    if subject.text is None or not subject.sections:
        return Block("", [])
    if not subject.text.chapters:
        return Block("In this guide", list(subject.sections))
    shown = dict(
        zip(chapters.sections(subject.text.body), subject.sections, strict=False)
    )  # a heading may hold live text
    lines = [f"{each.time} {shown.get(each.title, each.title)}" for each in subject.text.chapters]
    return Block("Chapters", lines, bullets=False)


def figure_line(renderer: Renderer, subject: Subject, figure: Figure) -> str:
    """A figure with its interval, basis and condition; with the bike's name where there are several."""
    name = ""
    if subject.sort != "bike":
        bike = renderer.table.bike(figure.bike)
        name = f"{bike.full_name}: " if bike else ""
    likely = likely_in(figure, renderer.system)
    shown = figure_text(figure, first=renderer.system) + (f", likely {likely}" if likely else "")
    shown = f"at least {shown}" if at_its_limit(figure) else shown
    condition = spoken(figure, renderer.content, renderer.system)
    return f"{name}{figure.kind.title}: {'; '.join(filter(None, (shown, figure.basis, condition)))}"


def _corrections(subject: Subject) -> Iterable[str]:
    for bike in subject.bikes:
        for one in sorted(bike.corrections, key=lambda each: each.date, reverse=True):
            yield (
                f"{bike.full_name}, {one.key.replace('_', ' ').replace('.', ' ')}: {one.now}, not {one.was} as first given. "
                f"{one.reason} ({day(one.date)})"
            )


def _sources(subject: Subject) -> Iterable[str]:
    for bike in subject.bikes:
        for source in bike.sources:
            seen = f", seen {day(source.seen)}" if source.seen else ""
            url = f" {source.url}" if source.url else ""
            yield f"{bike.full_name}: {source.title}{seen}{url}"


def _cautions(subject: Subject) -> list[str]:
    return list(dict.fromkeys([*_that_apply(subject), cautions.LOCAL_LAW]))


def _that_apply(subject: Subject) -> Iterable[str]:
    """A bike's all; of a guide those that go with its figures."""
    groups = {figure.kind.group for figure in subject.figures}
    parts = {PARTS[group] for group in groups if group in PARTS}
    if subject.sort != "guide":
        parts = set(PARTS.values())
    for part in dict.fromkeys(PARTS.values()):
        for bike in subject.bikes if part in parts else ():
            yield from cautions.beside(part, bike)
    if subject.sort != "guide":
        yield from map(_load, subject.bikes)


def _load(bike: Bike) -> str:
    return cautions.LOAD if bike.permitted_mass else cautions.LOAD_UNKNOWN


def plain(text: str) -> str:
    """One line with plain blanks."""
    return " ".join(text.replace("\u202f", " ").split())
