"""Updates the shown site after each save: first the pages of saved bikes, then the whole site.

* Follower    receives saves; its thread sends requests to the builder and shows the answers
"""

import threading
import time
from collections.abc import Callable, Collection, Sequence
from pathlib import Path

from generator.publish.report import format_problems
from generator.publish.watch.builder import (
    END_TIMEOUT,
    AbandonedBuild,
    BikePages,
    Builder,
    FailedBuild,
)
from generator.publish.watch.stage import ShownSite
from generator.specs.english import format_count
from generator.specs.problems import Problem

QUIET_TIME = 1.0
"""The whole site is built once nothing has been saved for so long. [s]"""
MOST_BIKES = 3
"""Most bikes whose pages are shown before the whole site."""

PrintLine = Callable[[str], None]

_BUILDER_LOST = Problem(
    "watch",
    0,
    0,
    "the process that builds was ended from outside, perhaps because memory ran out",
    "Make room in memory and save again",
)

_PIPE_CLOSED = (EOFError, OSError, TypeError)
"""Raised where the builder is gone; the last where `stop` closes our end of the pipe while an answer is waited for."""


class Follower:
    """Keeps the shown site up to date with the saved files. Neither a faulty file nor a failure of the generator ends it."""

    def __init__(self, root: Path, site: ShownSite, print_line: PrintLine) -> None:
        self._root, self._site, self._print_line = root, site, print_line
        self._builder = Builder(root)
        self._changed = threading.Condition()
        self._files: set[Path] = set()
        """Saved files that are not being built yet."""
        self._is_building = False
        """Is the whole site being built?"""
        self._has_site = False
        """Has the builder built a whole site?"""
        self._is_outdated = True
        """Is the whole site behind the saved files?"""
        self._stopped = False
        self._thread = threading.Thread(
            target=self._build_until_stopped, name="follower", daemon=True
        )

    def start(self) -> None:
        """Start the thread, which builds the site and rebuilds it after each save."""
        self._thread.start()

    def stop(self) -> None:
        """End thread and builder, after a short wait for a build in progress."""
        with self._changed:
            self._stopped = True
            self._builder.abandon_request()
            self._changed.notify_all()
        if self._thread.is_alive():
            self._thread.join(END_TIMEOUT)
        self._builder.close()
        if self._thread.is_alive():
            self._thread.join()

    def notify_saved(self, files: Collection[Path]) -> None:
        """Rebuild for these saved files: their pages first if they are a few bikes, then the whole site."""
        with self._changed:
            self._files |= set(files)
            if self._is_building:
                self._builder.abandon_request()
            self._changed.notify_all()

    def _build_until_stopped(self) -> None:
        """Build until stopped."""
        words = "first build"
        self._is_outdated = not self._show_whole_site(words)
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._stopped or self._files or self._is_outdated)
                if self._stopped:
                    return
                files, self._files = sorted(self._files), set()
            if files:
                self._is_outdated, words = True, name_files(files, self._root)
                if self._has_site and self._are_few_bikes(files):
                    self._show_bike_pages(files, words)
            with self._changed:
                moved = self._changed.wait_for(lambda: self._stopped or self._files, QUIET_TIME)
            if not moved:
                self._is_outdated = not self._show_whole_site(words)

    def _are_few_bikes(self, files: Collection[Path]) -> bool:
        """Are these at most `MOST_BIKES` files, all of them spec files?"""
        folder = self._root / "bikes"
        return len(files) <= MOST_BIKES and all(
            file.parent == folder and file.suffix == ".yaml" and file.exists() for file in files
        )

    def _show_bike_pages(self, files: Sequence[Path], words: str) -> None:
        """Build the pages of saved bikes and show them. `words` names the save in the terminal."""
        started = time.monotonic()
        others = [
            problem
            for problem in self._site.take_snapshot().problems
            if self._root / problem.file not in files
        ]
        try:
            with self._changed:  # only one thread may write to the pipe
                self._builder.send_request(files)
            answer = self._builder.receive_answer()
        except _PIPE_CLOSED:
            self._replace_builder()
            return
        if isinstance(answer, FailedBuild):
            self._site.set_problems([*others, *answer.problems])
        elif isinstance(answer, BikePages):
            self._site.update_files(answer.pages, others)
            seconds = time.monotonic() - started
            pages = format_count(len(answer.pages), "page")
            self._print_line(f"{words}: {pages} in {seconds:.1f} s; the rest follows")

    def _show_whole_site(self, words: str) -> bool:
        """Build the whole site and show it. False if a save came before it was finished."""
        started = time.monotonic()
        try:
            with self._changed:
                if self._stopped or self._files:
                    return False
                self._builder.send_request()
                self._is_building = True
            answer = self._builder.receive_answer()
        except _PIPE_CLOSED:
            self._replace_builder()
            return True
        finally:
            with self._changed:
                self._is_building = False
        if isinstance(answer, AbandonedBuild):
            return False
        if isinstance(answer, FailedBuild):
            self._site.set_problems(answer.problems)
            self._print_problems(answer.problems)
            seconds = time.monotonic() - started
            self._print_line(f"{words}: not built, the last good site stays; {seconds:.1f} s")
            return True
        if not isinstance(answer, BikePages):
            before = self._site.take_snapshot().files.keys()
            gone = set(answer.gone) if self._has_site else before - answer.changed.keys()
            self._has_site = True
            self._site.update_files(answer.changed, gone=gone)
            self._print_problems(answer.warnings)
            seconds = time.monotonic() - started
            count = format_count(len(answer.changed), "file")
            self._print_line(f"{words}: whole site in {seconds:.1f} s; {count} changed")
        return True

    def _print_problems(self, problems: Sequence[Problem]) -> None:
        """Print problems in the terminal."""
        for line in format_problems(problems):
            self._print_line(line)

    def _replace_builder(self) -> None:
        """Report that the builder has ended, and start another for the next save."""
        with self._changed:
            if self._stopped:
                return
            self._builder.close()
            self._builder = Builder(self._root)
        self._has_site = False
        self._site.set_problems([_BUILDER_LOST])
        self._print_problems([_BUILDER_LOST])


def name_files(files: Collection[Path], root: Path) -> str:
    """The names of the first two saved files, and a count of the rest."""
    names = sorted(
        file.relative_to(root).as_posix() if file.is_relative_to(root) else file.name
        for file in files
    )
    more = f" and {len(names) - 2} more" if len(names) > 2 else ""
    return ", ".join(names[:2]) + more
