"""`kill -9` at any moment: the site is the old one or the new one, whole."""

import signal
from pathlib import Path
from typing import Any

import pytest

from tests.publish.nursery import Nursery
from tests.publish.pretend import publish, whole

MODULE = "tests.publish.pretend"


def points(nursery: Nursery, out: Path, *options: str) -> range:
    """All moments of a pretend build just before a change of the file system."""
    publish(out, "old")
    last = pretend(nursery, out, "new", *options)["changes"]
    assert last > 20
    return range(1, last + 1)


def pretend(nursery: Nursery, out: Path, *options: str, **wishes: Any) -> dict[str, Any]:
    return nursery.run(str(out), *options, module=MODULE, **wishes)


def test_killed_at_every_point(tmp_path: Path, nursery: Nursery) -> None:
    """The exchange leaves no moment without a whole site, and the next build cleans up."""
    out = tmp_path / "site"
    seen = set()
    for point in points(nursery, tmp_path / "measure" / "site"):
        publish(out, "old")
        ended = pretend(nursery, out, "new", die_at=point)
        assert ended["code"] == -signal.SIGKILL
        seen.add(whole(out))

    assert seen == {"old", "new"}
    publish(out, "old")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["measure", "site"]


@pytest.mark.parametrize("back", ["old", "new"])
def test_killed_between_two_renames(tmp_path: Path, nursery: Nursery, back: str) -> None:
    """Where the swap is two renames, the next build finds the earlier site again."""
    out = tmp_path / "site"
    gone = 0
    for point in points(nursery, tmp_path / "measure" / "site", "--two-renames"):
        publish(out, "old")
        pretend(nursery, out, "new", "--two-renames", die_at=point)
        if out.exists():
            assert whole(out) in {"old", "new"}
        else:
            gone += 1
            assert whole(tmp_path / ".site.previous") == "old"
        publish(out, back)
        assert whole(out) == back

    assert gone == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == ["measure", "site"]
