"""From a guide, a bike or a comparison to the folder of its handout, put in place in one step.

The folder is written as a site is: beside its place, then swapped in; a folder that holds anything else is refused.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from generator.figures.table.tabulate import tabulate
from generator.handout.outputs import outputs
from generator.handout.subject import subject, wanted
from generator.pages.compare.pairs import Pairs
from generator.pages.frame.renderer import Renderer
from generator.publish.build.staging import claimed_folder, place_of, write_site
from generator.publish.reading import errors_of, read_publication
from generator.specs.problems import Problem, ProblemsFound

FOLDER = ".handout"
"""In the publication; its name begins with a dot, since it is made and not kept."""


@dataclass(frozen=True)
class Handout:
    out: Path
    files: int
    warnings: tuple[Problem, ...]


def handout(root: Path, words: Sequence[str], out: Path | None = None) -> Handout:
    """Make the handout of what the words name; `root/.handout/<name>` when no folder is given.

    Raises
    ------
    ProblemsFound
        When there is no such guide or bike, with the nearest names; when a file of the publication is wrong; when the
        folder holds files that this did not write. An earlier handout is then as it was.
    """
    publication = read_publication(root)
    slugs = [bike.slug for bike in publication.bikes]
    guides = [guide.slug for guide in publication.content.guides]
    asked, problems = wanted(words, slugs, guides)
    if asked is None:
        raise ProblemsFound(problems)
    out = place_of(out or root / FOLDER / asked.name)
    with claimed_folder(out):
        of_bikes = asked.sort != "guide"
        bikes = [
            bike for bike in publication.bikes if not of_bikes or bike.slug in asked.slugs
        ]  # a guide may ask for any
        renderer = Renderer(tabulate(bikes, publication.content), publication.content, root)
        about = subject(renderer, asked, Pairs(publication.bikes))
        if errors := errors_of(renderer.problems):
            raise ProblemsFound(errors)
        files, _ = write_site(outputs(renderer, about), out, lambda output: None)
    warnings = (*publication.warnings, *renderer.problems)
    return Handout(out, len(files), tuple(sorted(set(warnings))))
