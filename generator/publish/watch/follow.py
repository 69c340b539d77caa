"""From a save to the stage: the saved bike's page at once, the whole site right behind.

* Follower    told of saves; builds in a thread of its own
"""

import threading
import time
import traceback
from collections.abc import Callable, Collection, Sequence
from pathlib import Path

from generator.publish.ledger import Entries
from generator.publish.report import plural, problem_lines
from generator.publish.watch import quick
from generator.publish.watch.stage import Stage
from generator.publish.watch.whole import Overtaken, whole
from generator.specs.problems import Problem, ProblemsFound

QUIET = 1.0
"""The whole build waits until nothing was saved for so long. [s]"""

_PACKAGE = Path(__file__).parents[2]

Say = Callable[[str], None]


class Follower:
    """Keeps the stage at what is saved. Nothing that a file holds ends it, nor does a mistake of ours."""

    def __init__(self, root: Path, stage: Stage, say: Say) -> None:
        self._root, self._stage, self._say = root, stage, say
        self._changed = threading.Condition()
        self._saves = 1
        """How often files were saved; the first build counts as one."""
        self._done = 0
        """Of these, how many the builder has taken up."""
        self._words = ""
        self._ahead_now = False
        self._stopped = False
        self._quick: quick.Quick | None = None
        self._made: Entries = {}
        """What the jobs of the last good build made; the builder's own."""
        self._thread = threading.Thread(target=self._build_on, name="builder", daemon=True)

    def start(self) -> None:
        """Build for the first time, and go on building."""
        self._thread.start()

    def stop(self, seconds: float = 3.0) -> None:
        """End the thread; a computation that has begun is waited for, but no longer than that."""
        with self._changed:
            self._stopped = True
            self._changed.notify_all()
        if self._thread.is_alive():
            self._thread.join(seconds)

    def saved(self, files: Collection[Path]) -> None:
        """Show what these files make of the site: alone if they are a few bikes, then with all the rest."""
        words = named(files, self._root)
        with self._changed:
            self._saves += 1
            self._words = words
            warm = self._quick if self._only_bikes(files) else None
            self._ahead_now = warm is not None
            self._changed.notify_all()
        if warm is not None:
            self._ahead(warm, sorted(files), words)
        with self._changed:
            self._ahead_now = False
            self._changed.notify_all()

    def _only_bikes(self, files: Collection[Path]) -> bool:
        folder = self._root / "bikes"
        return 0 < len(files) <= quick.MOST and all(
            file.parent == folder and file.suffix == ".yaml" and file.exists() for file in files
        )

    def _ahead(self, warm: quick.Quick, files: Sequence[Path], words: str) -> None:
        started = time.monotonic()
        others = [
            problem
            for problem in self._stage.look().problems
            if self._root / problem.file not in files
        ]
        try:
            pages = warm.pages(files)
        except ProblemsFound as found:
            self._stage.tell([*others, *found.problems])
        except Exception as error:
            self._stage.tell([*others, ours(error)])
        else:
            self._stage.put({page.path: page.data for page in pages}, others)
            seconds = time.monotonic() - started
            self._say(f"{words}: {plural(len(pages), 'page')} in {seconds:.1f} s; the rest follows")

    def _build_on(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._stopped or self._due())
                while not self._stopped and self._done:  # the first build has nothing to wait for
                    saves = self._saves
                    if not self._changed.wait_for(self._moved(saves), QUIET):
                        break
                self._changed.wait_for(lambda: self._stopped or not self._ahead_now)
                if self._stopped:
                    return
                self._done, words = self._saves, self._words or "first build"
            self._whole(self._done, words)

    def _due(self) -> bool:
        return self._saves != self._done and not self._ahead_now

    def _moved(self, saves: int) -> Callable[[], bool]:
        return lambda: self._stopped or self._saves != saves

    def _whole(self, saves: int, words: str) -> None:
        started = time.monotonic()
        moved = self._moved(saves)
        try:
            made = whole(self._root, moved, self._made)
            warm = quick.Quick(made.table, made.content, self._root)
        except Overtaken:
            return
        except ProblemsFound as found:
            self._tell_unless(moved, list(found.problems), words, started)
        except Exception as error:
            self._tell_unless(moved, [ours(error)], words, started)
        else:
            with self._changed:
                if moved():
                    return
                self._quick, self._made = warm, made.made
                count = self._stage.show(made.files)
            for line in problem_lines(made.warnings):
                self._say(line)
            seconds = time.monotonic() - started
            self._say(f"{words}: whole site in {seconds:.1f} s; {plural(count, 'file')} changed")

    def _tell_unless(
        self, moved: Callable[[], bool], problems: list[Problem], words: str, started: float
    ) -> None:
        with self._changed:
            if moved():
                return
            self._stage.tell(problems)
        for line in problem_lines(problems):
            self._say(line)
        seconds = time.monotonic() - started
        self._say(f"{words}: not built, the last good site stays; {seconds:.1f} s")


def ours(error: Exception) -> Problem:
    """A mistake of the generator's own, as a problem: the place in our code, and what to do."""
    frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if Path(frame.filename).is_relative_to(_PACKAGE)]
    last = (own or frames)[-1]
    place = (
        f"generator/{Path(last.filename).relative_to(_PACKAGE).as_posix()}" if own else "generator"
    )
    line = (last.lineno or 0) if own else 0
    words = " ".join(str(error).split())[:200]
    what = f"the generator itself failed here, {type(error).__name__}: {words}"
    return Problem(place, line, 0, what, "Please report this line with the file that you saved")


def named(files: Collection[Path], root: Path) -> str:
    """What was saved, in a few words."""
    names = sorted(
        file.relative_to(root).as_posix() if file.is_relative_to(root) else file.name
        for file in files
    )
    more = f" and {len(names) - 2} more" if len(names) > 2 else ""
    return ", ".join(names[:2]) + more
