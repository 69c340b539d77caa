"""A disk that is full, read-only or broken, at every change that a build makes on it: words, exit code 1, the earlier site.

What the file system refuses is pretended by an audit hook, which stands before each change; see `tests.publish.disturbed`.
"""

import errno
import subprocess
from pathlib import Path

import pytest

from tests.publish.build.test_interrupted import changed, leavings
from tests.publish.build.test_kill import pretend
from tests.publish.nursery import Nursery
from tests.publish.pretend import publish, whole
from tests.publish.processes import complaints
from tests.publish.site_on_disk import site_of

WORDS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk is full",
    errno.EROFS: "may not be written",
    errno.EIO: "input/output error",
}


@pytest.mark.parametrize("code", WORDS)
def test_one_change_is_refused(tmp_path: Path, nursery: Nursery, code: int) -> None:
    """Each of them in turn, as when somebody fills and empties the disk meanwhile."""
    out = tmp_path / "site"
    publish(tmp_path / "measure" / "site", "old")
    last = pretend(nursery, tmp_path / "measure" / "site", "new")["changes"]
    assert last > 20
    publish(out, "old")
    seen = set()
    for point in range(1, last + 1):
        ended = pretend(nursery, out, "new", refuse_at=point, errno=code)
        seen.add((ended["code"], whole(out)))
        assert "Traceback" not in ended["err"], ended["err"]
        if ended["code"]:
            assert WORDS[code] in ended["err"], ended["err"]
            assert "\n" not in ended["err"].strip()
        publish(out, "old")
        assert sorted(path.name for path in tmp_path.iterdir()) == ["measure", "site"]

    assert (1, "old") in seen
    assert seen <= {(1, "old"), (0, "new"), (1, "new")}


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EROFS])
@pytest.mark.parametrize("share", [0.0, 0.2, 0.4])
def test_every_change_from_one_on_is_refused(
    built: Path, nursery: Nursery, share: float, code: int
) -> None:
    """A real build on a disk that stays so; the cache is on the same disk, and may stay empty."""
    old = site_of(built / "site")
    last = nursery.run("build", "--root", str(built))["changes"]
    command = ("build", "--root", str(changed(built)))
    ended = nursery.run(*command, refuse_from=1 + int(share * last), errno=code)

    assert ended["code"] == 1, ended["err"]
    assert WORDS[code] in ended["err"]
    assert "Traceback" not in ended["err"]
    assert len(complaints(ended["err"])) == 2  # the problem, and their number
    assert site_of(built / "site") == old
    mended = nursery.run(*command)
    assert mended["code"] == 0, mended["err"]
    assert leavings(built) == []
    assert site_of(built / "site") != old


def test_no_room_for_temporary_files(built: Path, nursery: Nursery) -> None:
    """`impact` copies a revision; without room it says where."""
    for words in ("init", "add bikes content", "-c user.name=a -c user.email=a@b commit -m x"):
        subprocess.run(["git", *words.split()], cwd=built, check=True, capture_output=True)
    for point in (1, 3):
        ended = nursery.run(
            "impact", "HEAD", "--root", str(built), refuse_from=point, errno=errno.ENOSPC
        )
        assert ended["code"] == 1, ended
        assert "no space left on device" in ended["err"]
        assert "TMPDIR" in ended["err"]
        assert "Traceback" not in ended["err"]
