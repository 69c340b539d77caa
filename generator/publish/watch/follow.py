"""From a save to the stage: the saved bike's page at once, the whole site right behind.

* Follower    told of saves; a thread of its own asks the builder and shows what it answers
"""

import threading
import time
from collections.abc import Callable, Collection, Sequence
from pathlib import Path

from generator.publish.report import plural, problem_lines
from generator.publish.watch.builder import PATIENCE, Ahead, Builder, Left, Refused
from generator.publish.watch.stage import Stage
from generator.specs.problems import Problem

QUIET = 1.0
"""The whole build waits until nothing was saved for so long. [s]"""
MOST = 3
"""More bikes than this at once are left to the whole build."""

Say = Callable[[str], None]

_LOST = Problem(
    "watch",
    0,
    0,
    "the process that builds was ended from outside, perhaps because memory ran out",
    "Make room in memory and save again",
)


class Follower:
    """Keeps the stage at what is saved. Nothing that a file holds ends it, nor does a mistake of ours."""

    def __init__(self, root: Path, stage: Stage, say: Say) -> None:
        self._root, self._stage, self._say = root, stage, say
        self._builder = Builder(root)
        self._changed = threading.Condition()
        self._files: set[Path] = set()
        """Saved, and not taken up yet."""
        self._building = False
        """Is the whole site being built?"""
        self._built = False
        """Does the builder have a whole site?"""
        self._due = True
        """Is what was saved not in the whole site yet?"""
        self._stopped = False
        self._thread = threading.Thread(target=self._follow, name="follower", daemon=True)

    def start(self) -> None:
        """Build for the first time, and go on building."""
        self._thread.start()

    def stop(self) -> None:
        """End thread and builder; what has begun is waited for, but not for long."""
        with self._changed:
            self._stopped = True
            self._builder.leave()
            self._changed.notify_all()
        if self._thread.is_alive():
            self._thread.join(PATIENCE)
        self._builder.close()
        if self._thread.is_alive():
            self._thread.join()

    def saved(self, files: Collection[Path]) -> None:
        """Show what these files make of the site: alone if they are a few bikes, then with all the rest."""
        with self._changed:
            self._files |= set(files)
            if self._building:
                self._builder.leave()
            self._changed.notify_all()

    def _follow(self) -> None:
        words = "first build"
        self._due = not self._whole(words)
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._stopped or self._files or self._due)
                if self._stopped:
                    return
                files, self._files = sorted(self._files), set()
            if files:
                self._due, words = True, named(files, self._root)
                if self._built and self._only_bikes(files):
                    self._ahead(files, words)
            with self._changed:
                moved = self._changed.wait_for(lambda: self._stopped or self._files, QUIET)
            if not moved:
                self._due = not self._whole(words)

    def _only_bikes(self, files: Collection[Path]) -> bool:
        folder = self._root / "bikes"
        return len(files) <= MOST and all(
            file.parent == folder and file.suffix == ".yaml" and file.exists() for file in files
        )

    def _ahead(self, files: Sequence[Path], words: str) -> None:
        started = time.monotonic()
        others = [
            problem
            for problem in self._stage.look().problems
            if self._root / problem.file not in files
        ]
        try:
            with self._changed:  # one at a time writes to the pipe
                self._builder.ask(files)
            answer = self._builder.answer()
        except (EOFError, OSError):
            self._lost()
            return
        if isinstance(answer, Refused):
            self._stage.tell([*others, *answer.problems])
        elif isinstance(answer, Ahead):
            self._stage.put(answer.pages, others)
            seconds = time.monotonic() - started
            pages = plural(len(answer.pages), "page")
            self._say(f"{words}: {pages} in {seconds:.1f} s; the rest follows")

    def _whole(self, words: str) -> bool:
        """Build the site and show it. False where a save came before its end."""
        started = time.monotonic()
        try:
            with self._changed:
                if self._stopped or self._files:
                    return False
                self._builder.ask()
                self._building = True
            answer = self._builder.answer()
        except (EOFError, OSError):
            self._lost()
            return True
        finally:
            with self._changed:
                self._building = False
        if isinstance(answer, Left):
            return False
        if isinstance(answer, Refused):
            self._stage.tell(answer.problems)
            self._tell(answer.problems)
            seconds = time.monotonic() - started
            self._say(f"{words}: not built, the last good site stays; {seconds:.1f} s")
            return True
        if not isinstance(answer, Ahead):
            before = self._stage.look().files.keys()
            gone = set(answer.gone) if self._built else before - answer.changed.keys()
            self._built = True
            self._stage.put(answer.changed, gone=gone)
            self._tell(answer.warnings)
            seconds = time.monotonic() - started
            count = plural(len(answer.changed), "file")
            self._say(f"{words}: whole site in {seconds:.1f} s; {count} changed")
        return True

    def _tell(self, problems: Sequence[Problem]) -> None:
        for line in problem_lines(problems):
            self._say(line)

    def _lost(self) -> None:
        """The builder is gone: say so, and have another for the next save."""
        with self._changed:
            if self._stopped:
                return
            self._builder.close()
            self._builder = Builder(self._root)
        self._built = False
        self._stage.tell([_LOST])
        self._tell([_LOST])


def named(files: Collection[Path], root: Path) -> str:
    """What was saved, in a few words."""
    names = sorted(
        file.relative_to(root).as_posix() if file.is_relative_to(root) else file.name
        for file in files
    )
    more = f" and {len(names) - 2} more" if len(names) > 2 else ""
    return ", ".join(names[:2]) + more
