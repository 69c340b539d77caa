"""From a publication to a site in its folder: everything of a build that takes time."""

import os
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from functools import partial
from pathlib import Path

from jinja2 import Environment

from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.parts import pause_gc
from generator.pages.frame.output import Output, UnchangedFile
from generator.pages.frame.renderer import Renderer, compile_templates, make_environment
from generator.pages.site import render_site
from generator.publish.build.job_runner import JobRunner
from generator.publish.build.manifest import JobRecord, Manifest
from generator.publish.build.paths import States, state
from generator.publish.build.spec_files import read_specs
from generator.publish.build.staging import Written, write_site
from generator.publish.build.summary import Changes, Summary, page_changes
from generator.publish.build.table import build_table
from generator.publish.build.worker_pool import worker_pool
from generator.publish.cache.cache import Cache
from generator.publish.cache.drawings import CachedDrawings, CachedMemo
from generator.publish.cache.inputs import Inputs, changed_since
from generator.publish.reading import Publication, read_publication
from generator.specs.encoding import fingerprint
from generator.specs.problems import Problem

Claim = AbstractContextManager[Mapping[str, str]]
"""What holds `out` for this build, and gives the site that stands there: path to hash."""

Progress = Callable[[float, str], None]
"""Told of the share of the work that is done, 0 to 1, and what is at work now."""

READ, COMPUTED = 0.05, 0.35
"""Shares of the work done after reading and after computing, roughly, on the demo."""

COMPUTING = "computing figures, longest the first time"
DRAWING = "drawing and writing pages"


def build_site(
    root: Path,
    out: Path,
    cache: Cache,
    inputs: Inputs | None,
    before: Manifest,
    claim: Claim,
    tell: Progress,
) -> Summary:
    """Read, compute, render, and swap the site in; `seconds` of the summary is left at 0.

    Parameters
    ----------
    inputs : Inputs, optional
        What the site depends on; without it nothing of an earlier build is used.
    before : Manifest
        Of the last build of this site.
    claim : context manager
        Entered once everything has been read, so that a publication with errors leaves no trace.

    Raises
    ------
    ProblemsFound
        When anything stands in the way. The earlier site is then as it was.
    """
    cache = cache if inputs else Cache(None)
    with pause_gc():
        publication = read_with_cache(root, cache, inputs)
        environment = make_environment(root)
        with claim as site_before:
            table = build_table(
                publication,
                cache,
                inputs.program if inputs else "",
                lambda share: tell(READ + (COMPUTED - READ) * share, COMPUTING),
                lambda: compile_templates(environment),
            )
            tell(COMPUTED, DRAWING)
            counter = _Counter(expected=len(site_before) or 100, tell=tell)
            warnings = list(publication.warnings)
            written, records = _write_pages(
                make_renderer(publication, table, cache, inputs, environment),
                out,
                inputs,
                before,
                counter.count,
                warnings.append,
            )
            changed = changed_since(inputs, root) if inputs else []
            warnings += map(_moved, changed)
            summary = _summary(
                publication,
                table,
                out,
                counter,
                page_changes(site_before, written.hashes),
                tuple(sorted(warnings)),
            )
            if inputs and not changed:
                kept = Manifest(inputs.whole, base_of(inputs), summary, written.states, records)
                kept.keep(cache, root, out)
            cache.prune()
    return summary


def read_with_cache(root: Path, cache: Cache, inputs: Inputs | None) -> Publication:
    """Return the publication; spec files that an earlier build read are not parsed again."""
    if inputs is None:
        return read_publication(root)
    return read_publication(root, partial(read_specs, cache, base_of(inputs)))


def base_of(inputs: Inputs) -> str:
    """Return the fingerprint of what every job depends on."""
    return fingerprint(inputs.program, inputs.templates)


def make_renderer(
    publication: Publication,
    table: FiguresTable,
    cache: Cache,
    inputs: Inputs | None,
    environment: Environment,
) -> Renderer:
    """Return a renderer that uses what the cache has."""
    return Renderer(
        table,
        publication.content,
        publication.root,
        CachedDrawings(cache),
        CachedMemo(cache, str(publication.root.absolute()), base_of(inputs) if inputs else ""),
        environment,
    )


def _write_pages(
    renderer: Renderer,
    out: Path,
    inputs: Inputs | None,
    before: Manifest,
    count: Callable[[Output | UnchangedFile], None],
    warn: Callable[[Problem], None],
) -> tuple[Written, dict[str, JobRecord]]:
    """Render the site and put it in place; gives its files and what each job made."""
    same = inputs is not None and before.base == base_of(inputs)
    with worker_pool() as pool:
        runner = JobRunner(
            renderer, pool, before.jobs if same else {}, _standing_in(out, before.states)
        )
        written = write_site(render_site(renderer, runner, warn), out, count)
    return written, runner.records


def _standing_in(out: Path, states: States) -> Callable[[UnchangedFile], bool]:
    """Return what says whether a file stands as it was written, by size and time, as `make` and git look at files."""

    def stands(file: UnchangedFile) -> bool:
        try:
            return states.get(file.path) == state(os.lstat(f"{out}/{file.path}"))
        except OSError:
            return False

    return stands


def _moved(path: str) -> Problem:
    what = "this file was written while the site was being built, so the site may show a part of an earlier state"
    return Problem(path, 0, 0, what, "Build again", "warning")


def _summary(
    publication: Publication,
    table: FiguresTable,
    out: Path,
    counter: "_Counter",
    changes: Changes,
    warnings: tuple[Problem, ...],
) -> Summary:
    return Summary(
        out=str(out),
        bikes=len(publication.bikes),
        guides=len(publication.content.guides),
        terms=len(publication.content.terms),
        pages=counter.pages,
        figures=sum(len(table.figures_of(bike.slug)) for bike in publication.bikes),
        charts=counter.charts,
        bytes=counter.bytes,
        changes=changes,
        warnings=warnings,
    )


class _Counter:
    """Counts outputs as they are written, and tells of them."""

    def __init__(self, expected: int, tell: Progress) -> None:
        self.charts = self.pages = self.bytes = self._files = 0
        self._expected, self._tell = expected, tell

    def count(self, output: Output | UnchangedFile) -> None:
        self._files += 1
        self.pages += output.path.endswith(".html")
        self.bytes += output.size
        self.charts += output.charts
        done = min(1.0, self._files / self._expected)
        self._tell(COMPUTED + (1 - COMPUTED) * done, DRAWING)
