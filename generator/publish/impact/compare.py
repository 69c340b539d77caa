"""Compares two states of a publication and returns the impact report.

* assess_impact   reads both states from git revisions or folders, and compares them
* compare_states  compares two states that have been read
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from generator.content.model import Content
from generator.figures.show import UnitSystem
from generator.pages.frame.drawings import Drawings
from generator.publish.cache.cache import Cache
from generator.publish.cache.drawings import CachedDrawings
from generator.publish.impact.changes import lists, live_text, pages
from generator.publish.impact.changes.idle import find_idle_keys
from generator.publish.impact.changes.moves import compare_figures
from generator.publish.impact.changes.ranks import find_swaps
from generator.publish.impact.changes.settings import compare_content, find_content_causes
from generator.publish.impact.changes.spec_keys import compare_files
from generator.publish.impact.changes.standings import rank_headline_figures
from generator.publish.impact.changes.tables import ComparedTables, tabulate_states
from generator.publish.impact.model import BikeChange, FigureMove, Impact, KeyChange
from generator.publish.impact.states.pairing import BikeVersions, find_unreadable, pair_bikes
from generator.publish.impact.states.revisions import open_state
from generator.publish.impact.states.sides import PublicationState, read_state, strip_identity
from generator.specs.problems import Problem


def assess_impact(
    root: Path, before: str, after: str | None = None, *, render: bool = False
) -> Impact:
    """Report what a change does to the published guide.

    Parameters
    ----------
    root : Path
        Folder of the publication.
    before, after : str
        A git revision, or a folder that holds `bikes/`. `after` None means the working tree.
    render : bool
        Render both sites to find out which pages changed.

    Raises
    ------
    RevisionError
        If a state cannot be read.
    """
    with open_state(root, before) as old, open_state(root, after) as new:
        states = read_state(old, earlier=True), read_state(new)
        return compare_states(*states, drawings=CachedDrawings(Cache.of_user()) if render else None)


def compare_states(
    before: PublicationState,
    after: PublicationState,
    *,
    drawings: Drawings | None = None,
    precomputed: ComparedTables | None = None,
) -> Impact:
    """Compare two states. `drawings` draws for sites to be rendered.

    With `charts`, a cache of charts, both sites are rendered to compare their pages.

    `precomputed` are figures that the caller has already computed, for example by two versions of the program. A change
    that neither data nor content explains is then reported as caused by the program.
    """
    bike_pairs = pair_bikes(before, after)
    unreadable_slugs = find_unreadable(before, after)
    bikes = _list_bike_changes(before, after, bike_pairs, unreadable_slugs)
    content = compare_content(before, after)
    old_content, new_content = before.content, after.content
    notes = list(_note_content_errors(before, after))
    report = Impact(before.label, after.label, bikes, content, notes=tuple(notes))
    if old_content is None or new_content is None:
        one = old_content or new_content
        if one is None:
            return _add_problems(report, before.problems, after.problems)
        old_content = new_content = one
    computed = precomputed or tabulate_states(bike_pairs, old_content, new_content)
    return _add_figures(
        report, before, after, bike_pairs, computed, (old_content, new_content), drawings
    )


def _add_figures(
    report: Impact,
    before: PublicationState,
    after: PublicationState,
    bike_pairs: Sequence[BikeVersions],
    computed: ComparedTables,
    contents: tuple[Content, Content],
    drawings: Drawings | None,
) -> Impact:
    """Add to the report all that follows from the figures of both states."""
    old, new = (computed.before, contents[0]), (computed.after, contents[1])
    system: UnitSystem = "us" if new[1].settings.units == "us" else "metric"
    earlier = {p.after.slug: p.before.slug for p in bike_pairs if p.before and p.after}
    later = {was: now for now, was in earlier.items()}
    keys = {change.slug: change.keys for change in report.bikes}
    moved = compare_figures(
        bike_pairs, computed, keys, find_content_causes(*contents, report.content), system
    )
    slugs = {move.bike for move in moved}
    changed = (
        {change.slug for change in report.bikes} | {change.was for change in report.bikes} | slugs
    )
    affected = live_text.find_affected_texts(old, new, changed - {""})
    side_problems = [
        [
            *state.problems,
            *live_text.check_texts(
                [text for text in side[1].texts if text.file in affected], *side
            ),
        ]
        for state, side in ((before, old), (after, new))
    ]
    return _add_problems(
        replace(
            report,
            bikes=_complete_bike_changes(report.bikes, bike_pairs, computed, moved, system),
            moves=moved,
            swaps=find_swaps(bike_pairs, computed.before, computed.after, system),
            lists=lists.compare_memberships(
                lists.collect_lists(*old), lists.collect_lists(*new), later
            ),
            live=live_text.compare_live_figures(
                computed.before, computed.after, new[1], earlier, slugs, system
            ),
            sentences=live_text.find_broken_sentences(
                live_text.check_sentences(*old), live_text.check_sentences(*new)
            ),
            pages=pages.compare_rendered_sites(old, new, drawings)
            if drawings
            else pages.compare_paths(old, new),
            region=lists.find_own_region(*new),
        ),
        *side_problems,
    )


def _complete_bike_changes(
    changes: Sequence[BikeChange],
    bike_pairs: Sequence[BikeVersions],
    computed: ComparedTables,
    moved: Sequence[FigureMove],
    system: UnitSystem,
) -> tuple[BikeChange, ...]:
    """Add to each change its idle keys, and the headline figures of a bike that was added or removed."""
    by_slug = {pair.slug: pair for pair in bike_pairs}
    completed = []
    for change in changes:
        pair = by_slug.get(change.slug)
        if pair and pair.before and pair.after:
            change = replace(
                change, idle=find_idle_keys(pair.before, pair.after, change.keys, moved)
            )
        elif pair and pair.after and change.what == "added":
            change = replace(
                change, standings=rank_headline_figures(pair.after, computed.after, system)
            )
        elif pair and pair.before and change.what == "removed":
            change = replace(
                change, standings=rank_headline_figures(pair.before, computed.before, system)
            )
        completed.append(change)
    return tuple(completed)


def _add_problems(report: Impact, old: Sequence[Problem], new: Sequence[Problem]) -> Impact:
    """Add new and gone problems to the report, and the errors of the later state."""
    return replace(
        report,
        new_problems=_subtract_problems(new, old),
        gone_problems=_subtract_problems(old, new),
        errors=tuple(sorted(problem for problem in new if problem.severity == "error")),
    )


def _subtract_problems(these: Sequence[Problem], those: Sequence[Problem]) -> tuple[Problem, ...]:
    """Problems in `these` that are not in `those`. Line and column do not count: a line that only moved is no new problem."""
    left = Counter(map(_identify_problem, those))
    surplus = []
    for problem in sorted(these):
        if left[_identify_problem(problem)] > 0:
            left[_identify_problem(problem)] -= 1
        else:
            surplus.append(problem)
    return tuple(surplus)


def _identify_problem(problem: Problem) -> tuple[str, str, str]:
    """What identifies a problem in both states: file, words and severity."""
    return problem.file, problem.what, problem.severity


def _note_content_errors(before: PublicationState, after: PublicationState) -> list[str]:
    """Remarks on states whose content has errors."""
    notes = []
    if before.content is None and after.content is None:
        notes.append("The content has errors on both sides, so no figure could be computed.")
    else:
        for state, other in ((before, after), (after, before)):
            if state.content is None:
                notes.append(
                    f"The content of {state.label} has errors; riders, routes and texts of {other.label} "
                    "stand in for it."
                )
    return notes


def _list_bike_changes(
    before: PublicationState,
    after: PublicationState,
    bike_pairs: Sequence[BikeVersions],
    unreadable_slugs: dict[str, str],
) -> tuple[BikeChange, ...]:
    """Changes of spec files by slug, without what the figures tell."""
    changes = [
        BikeChange(slug, slug, "not readable", side) for slug, side in unreadable_slugs.items()
    ]
    for slug in sorted(before.files ^ after.files):
        state, side = (before, "before") if slug in before.files else (after, "after")
        if slug not in state.data:
            changes.append(BikeChange(slug, slug, "not readable", side))
    for pair in bike_pairs:
        old, new = pair.before, pair.after
        if old and new:
            same = strip_identity(old) == strip_identity(new)
            if old.slug != new.slug or not same:
                keys = _compare_spec_files(before, after, old.file, new.file)
                if old.slug != new.slug:
                    changes.append(BikeChange(new.slug, new.full_name, "renamed", old.slug, keys))
                else:
                    changes.append(BikeChange(new.slug, new.full_name, "changed", "", keys))
        elif new:
            changes.append(BikeChange(new.slug, new.full_name, "added"))
        elif old:
            changes.append(BikeChange(old.slug, old.full_name, "removed"))
    return tuple(sorted(changes, key=lambda change: change.slug))


def _compare_spec_files(
    before: PublicationState, after: PublicationState, old: str, new: str
) -> tuple[KeyChange, ...]:
    """Changed keys between a bike's earlier spec file `old` and its later one `new`."""
    return compare_files(
        before.location.folder / old,
        after.location.folder / new,
        old_root=before.location.folder,
        new_root=after.location.folder,
        file=new,
    )
