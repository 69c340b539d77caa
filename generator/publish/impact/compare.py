"""Two states of a publication in, the report out."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from generator.content.model import Content
from generator.figures.show import System
from generator.publish.cache.chart_cache import ChartCache
from generator.publish.impact import lists, live_text, pages
from generator.publish.impact.idle import idle
from generator.publish.impact.model import BikeChange, Impact, KeyChange, Move
from generator.publish.impact.moves import moves
from generator.publish.impact.pairing import Pair, pairs, unreadable
from generator.publish.impact.ranks import swaps
from generator.publish.impact.revisions import opened
from generator.publish.impact.settings import content_causes, content_changes
from generator.publish.impact.sides import State, data_of, read_state
from generator.publish.impact.spec_keys import key_changes
from generator.publish.impact.standings import standings
from generator.publish.impact.tables import Tables, tables
from generator.specs.problems import Problem


def impact(root: Path, before: str, after: str | None = None, *, render: bool = False) -> Impact:
    """What a change does to the published guide.

    Parameters
    ----------
    root : Path
        The publication.
    before, after : str
        Each a git revision or a folder that holds `bikes/`; the working tree where `after` is None.
    render : bool
        Render both sites, to tell which pages changed.

    Raises
    ------
    RevisionError
        When a state cannot be had.
    """
    with opened(root, before) as old, opened(root, after) as new:
        states = read_state(old, earlier=True), read_state(new)
        return compared(*states, charts=ChartCache.of(root) if render else None)


def compared(
    before: State, after: State, *, charts: ChartCache | None = None, given: Tables | None = None
) -> Impact:
    """Compare two states. `charts` is the cache of charts of sites to be rendered.

    `given` are tables that the caller has computed, such as by two versions of the program; what neither data
    nor content explain is then told as the program's doing.
    """
    found = pairs(before, after)
    lost = unreadable(before, after)
    bikes = _bike_changes(before, after, found, lost)
    content = content_changes(before, after)
    old_content, new_content = before.content, after.content
    notes = list(_notes(before, after))
    bare = Impact(before.label, after.label, bikes, content, notes=tuple(notes))
    if old_content is None or new_content is None:
        one = old_content or new_content
        if one is None:
            return _with_problems(bare, before.problems, after.problems)
        old_content = new_content = one
    computed = given or tables(found, old_content, new_content)
    return _with_figures(bare, before, after, found, computed, (old_content, new_content), charts)


def _with_figures(
    bare: Impact,
    before: State,
    after: State,
    found: Sequence[Pair],
    computed: Tables,
    contents: tuple[Content, Content],
    charts: ChartCache | None,
) -> Impact:
    old, new = (computed.before, contents[0]), (computed.after, contents[1])
    system: System = "us" if new[1].settings.units == "us" else "metric"
    earlier = {p.after.slug: p.before.slug for p in found if p.before and p.after}
    later = {was: now for now, was in earlier.items()}
    keys = {change.slug: change.keys for change in bare.bikes}
    moved = moves(found, computed, keys, content_causes(*contents, bare.content), system)
    slugs = {move.bike for move in moved}
    changed = {change.slug for change in bare.bikes} | {change.was for change in bare.bikes} | slugs
    suspects = live_text.suspects(old, new, changed - {""})
    side_problems = [
        [
            *state.problems,
            *live_text.text_problems(
                [text for text in side[1].texts if text.file in suspects], *side
            ),
        ]
        for state, side in ((before, old), (after, new))
    ]
    return _with_problems(
        replace(
            bare,
            bikes=_told(bare.bikes, found, computed, moved, system),
            moves=moved,
            swaps=swaps(found, computed.before, computed.after, system),
            lists=lists.memberships(lists.lists(*old), lists.lists(*new), later),
            live=live_text.live_figures(
                computed.before, computed.after, new[1], earlier, slugs, system
            ),
            sentences=live_text.broken(live_text.tested(*old), live_text.tested(*new)),
            pages=pages.rendered(old, new, charts) if charts else pages.compared(old, new),
            region=lists.own_region(*new),
        ),
        *side_problems,
    )


def _told(
    changes: Sequence[BikeChange],
    found: Sequence[Pair],
    computed: Tables,
    moved: Sequence[Move],
    system: System,
) -> tuple[BikeChange, ...]:
    """With what the figures say of each: headline figures that come or go, keys on which none depends."""
    by_slug = {pair.slug: pair for pair in found}
    told = []
    for change in changes:
        pair = by_slug.get(change.slug)
        if pair and pair.before and pair.after:
            change = replace(change, idle=idle(pair.before, pair.after, change.keys, moved))
        elif pair and pair.after and change.what == "added":
            change = replace(change, standings=standings(pair.after, computed.after, system))
        elif pair and pair.before and change.what == "removed":
            change = replace(change, standings=standings(pair.before, computed.before, system))
        told.append(change)
    return tuple(told)


def _with_problems(bare: Impact, old: Sequence[Problem], new: Sequence[Problem]) -> Impact:
    """Problems come and go by file and words; a line that only moved is none."""
    return replace(
        bare,
        new_problems=_surplus(new, old),
        gone_problems=_surplus(old, new),
        errors=tuple(sorted(problem for problem in new if problem.severity == "error")),
    )


def _surplus(these: Sequence[Problem], those: Sequence[Problem]) -> tuple[Problem, ...]:
    left = Counter(map(_known_as, those))
    found = []
    for problem in sorted(these):
        if left[_known_as(problem)] > 0:
            left[_known_as(problem)] -= 1
        else:
            found.append(problem)
    return tuple(found)


def _known_as(problem: Problem) -> tuple[str, str, str]:
    return problem.file, problem.what, problem.severity


def _notes(before: State, after: State) -> list[str]:
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


def _bike_changes(
    before: State, after: State, found: Sequence[Pair], lost: dict[str, str]
) -> tuple[BikeChange, ...]:
    changes = [BikeChange(slug, slug, "not readable", side) for slug, side in lost.items()]
    for slug in sorted(before.files ^ after.files):
        state, side = (before, "before") if slug in before.files else (after, "after")
        if slug not in state.data:
            changes.append(BikeChange(slug, slug, "not readable", side))
    for pair in found:
        old, new = pair.before, pair.after
        if old and new:
            same = data_of(old) == data_of(new)
            if old.slug != new.slug or not same:
                keys = _keys(before, after, old.file, new.file)
                if old.slug != new.slug:
                    changes.append(BikeChange(new.slug, new.full_name, "renamed", old.slug, keys))
                else:
                    changes.append(BikeChange(new.slug, new.full_name, "changed", "", keys))
        elif new:
            changes.append(BikeChange(new.slug, new.full_name, "added"))
        elif old:
            changes.append(BikeChange(old.slug, old.full_name, "removed"))
    return tuple(sorted(changes, key=lambda change: change.slug))


def _keys(before: State, after: State, old: str, new: str) -> tuple[KeyChange, ...]:
    return key_changes(
        before.place.folder / old,
        after.place.folder / new,
        old_root=before.place.folder,
        new_root=after.place.folder,
        file=new,
    )
