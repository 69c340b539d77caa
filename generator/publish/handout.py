"""Writes the handout of a guide, a bike or a comparison.

The folder is written like a site: beside its place, then swapped in. A folder that holds anything else is refused.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from generator.figures.table.tabulate import tabulate
from generator.handout.outputs import render_outputs
from generator.handout.subject import build_subject, read_request
from generator.pages.compare.pairs import BikePairs
from generator.pages.frame.renderer import Renderer
from generator.publish.build.staging import claimed_folder, place_of, write_site
from generator.publish.reading import errors_of, read_publication
from generator.specs.problems import Mistyped, Problem, ProblemsFound

FOLDER = ".handout"
"""Folder of handouts in the publication; its name begins with a dot because it is generated."""


@dataclass(frozen=True)
class WrittenHandout:
    """A written handout."""

    out: Path
    """Its folder."""
    files: int
    """Number of files."""
    warnings: tuple[Problem, ...]


def make_handout(root: Path, words: Sequence[str], out: Path | None = None) -> WrittenHandout:
    """Write the handout of the guide or bikes that `words` name, by default to `root/.handout/<name>`.

    Raises
    ------
    Mistyped
        When there is no such guide or bike, with the nearest names, or the bikes cannot be compared.
    ProblemsFound
        When a file of the publication is wrong; when the folder holds files that this did not write. An earlier handout
        is then as it was.
    """
    publication = read_publication(root)
    slugs = [bike.slug for bike in publication.bikes]
    guides = [guide.slug for guide in publication.content.guides]
    wanted_subject, problems = read_request(words, slugs, guides)
    if wanted_subject is None:
        raise Mistyped(problems)
    out = place_of(out or root / FOLDER / wanted_subject.name)
    with claimed_folder(out):
        of_bikes = wanted_subject.sort != "guide"
        bikes = [
            bike for bike in publication.bikes if not of_bikes or bike.slug in wanted_subject.slugs
        ]  # a guide may name any bike
        renderer = Renderer(tabulate(bikes, publication.content), publication.content, root)
        about = build_subject(renderer, wanted_subject, BikePairs(publication.bikes))
        if errors := errors_of(renderer.problems):
            raise ProblemsFound(errors)
        files, _ = write_site(render_outputs(renderer, about), out, lambda output: None)
    warnings = (*publication.warnings, *renderer.problems)
    return WrittenHandout(out, len(files), tuple(sorted(set(warnings))))
