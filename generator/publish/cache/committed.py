"""The folder in which builds keep things, and whether the repository brought it instead, as may be with any of our folders.

* brought_along    why a folder of the publication cannot be taken for our own, or None
* kept_of          where something is kept of the site in a folder
"""

import hashlib
import os
import subprocess
from pathlib import Path

FOLDER = ".cache"
"""What builds keep, within a publication."""
_QUIET = {"LC_ALL": "C", "GIT_TERMINAL_PROMPT": "0", "GIT_OPTIONAL_LOCKS": "0"}


def brought_along(root: Path, folder: str) -> str | None:
    """Why `folder`, such as `.cache`, is not the build's own: it is a link, or git has files of it.

    git is only asked for its list (`ls-files`). Where there is no git and no repository, nothing can have been committed.
    """
    if any(path.is_symlink() for path in (root / folder, *(root / folder).glob("*"))):
        return "is a link, or holds one"
    if not (root / folder).exists():
        return None
    ask = ("git", "-c", "core.fsmonitor=false", "-C", str(root), "ls-files", "-z", "--", folder)
    try:
        told = subprocess.run(ask, capture_output=True, env={**os.environ, **_QUIET}, check=False)
    except OSError:
        return None
    return "is committed" if told.stdout else None


def kept_of(root: Path, what: str, out: Path) -> Path:
    """One for each place that sites are built in."""
    return root / FOLDER / what / hashlib.sha256(os.fsencode(out.absolute())).hexdigest()
