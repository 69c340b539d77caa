"""A build: nothing where nothing has changed, else everything. Imports nothing heavy before it has to."""

import os
import time
from collections.abc import Callable
from contextlib import AbstractContextManager, ExitStack, nullcontext
from dataclasses import replace
from pathlib import Path

from generator.publish.build.manifest import find_unchanged, read_manifest
from generator.publish.build.staging import claimed_folder, place_of
from generator.publish.build.summary import Summary
from generator.publish.cache.cache import Cache
from generator.publish.cache.inputs import read_inputs


def build(
    root: Path, out: Path | None = None, progress: Callable[[float, str], None] | None = None
) -> Summary:
    """Check everything, compute, render, and swap the site in; or find that the site is that of these files already.

    Parameters
    ----------
    root : Path
        The publication.
    out : Path, optional
        Folder of the site; `root/site` when left out.
    progress : callable, optional
        Told of the share of the work that is done, 0 to 1, and what is at work now.

    Raises
    ------
    ProblemsFound
        When anything stands in the way. The earlier site is then as it was.
    """
    started = time.monotonic()
    tell = progress or (lambda share, what: None)
    out = place_of(out or root / "site")
    cache = Cache.of_user()

    tell(0.0, "reading")
    inputs = read_inputs(root)
    claim: AbstractContextManager[dict[str, str]] = claimed_folder(out)
    with ExitStack() as held:
        before = read_manifest(cache, root, out)
        if os.path.isdir(out):
            claim = nullcontext(held.enter_context(claim))
            if inputs and (summary := find_unchanged(before, inputs.whole, out)):
                return replace(summary, seconds=time.monotonic() - started)
        from generator.publish.build.pipeline import build_site

        summary = build_site(root, out, cache, inputs, before, claim, tell)
    tell(1.0, "done")
    return replace(summary, seconds=time.monotonic() - started)
