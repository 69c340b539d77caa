"""`kill -9` at any moment: the site is the old one or the new one, whole."""

import signal
from pathlib import Path

import pytest

from tests.publish.pretend import publish, whole
from tests.publish.processes import pretend

POINTS = 20


def points(out: Path, *options: str) -> list[int]:
    """Moments of a build, spread evenly, each just before a change of the file system."""
    publish(out, "old")
    last = int(pretend(out, "new", *options).stdout)
    assert last > POINTS
    return sorted({1 + number * (last - 1) // POINTS for number in range(POINTS + 1)})


def test_killed_at_any_point(tmp_path: Path) -> None:
    """The exchange leaves no moment without a whole site, and the next build cleans up."""
    out = tmp_path / "site"
    seen = set()
    for point in points(tmp_path / "measure" / "site"):
        publish(out, "old")
        ended = pretend(out, "new", "--die-at", str(point))
        assert ended.returncode == -signal.SIGKILL
        seen.add(whole(out))

    assert seen == {"old", "new"}
    publish(out, "old")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["measure", "site"]


@pytest.mark.parametrize("back", ["old", "new"])
def test_killed_between_two_renames(tmp_path: Path, back: str) -> None:
    """Where the swap is two renames, the next build finds the earlier site again."""
    out = tmp_path / "site"
    for point in points(tmp_path / "measure" / "site", "--two-renames"):
        publish(out, "old")
        pretend(out, "new", "--two-renames", "--die-at", str(point))
        if out.exists():
            assert whole(out) in {"old", "new"}
        else:
            assert whole(tmp_path / ".site.previous") == "old"
        publish(out, back)
        assert whole(out) == back

    assert sorted(path.name for path in tmp_path.iterdir()) == ["measure", "site"]
