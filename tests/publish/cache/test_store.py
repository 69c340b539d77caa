"""What builds keep of their work: given back as it was put, and only where this user's own builds put it."""

import os
import pickle
import stat
from pathlib import Path

import pytest

from generator.publish.cache import secret
from generator.publish.cache.store import Store

KEY = bytes(range(32))


@pytest.fixture(autouse=True)
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A state folder of the test's own."""
    folder = tmp_path / "state"
    monkeypatch.setenv("XDG_STATE_HOME", str(folder))
    return folder


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "kept", KEY)


def only_file(tmp_path: Path) -> Path:
    (found,) = (tmp_path / "kept").iterdir()
    return found


def test_what_is_put_is_given_back(store: Store, tmp_path: Path) -> None:
    store.put("bike", {"mass": 24.5})

    assert store.get("bike") == {"mass": 24.5}
    assert Store(tmp_path / "kept", KEY).get("bike") == {"mass": 24.5}
    assert store.get("other") is None


def test_nothing_stands_under_an_empty_key(store: Store, tmp_path: Path) -> None:
    """That is the key of what was not hashed."""
    store.put("", 1)

    assert store.get("") is None
    assert not (tmp_path / "kept").exists()


@pytest.mark.parametrize(
    "spoil",
    [
        lambda whole: whole[:-1],
        lambda whole: whole[:10],
        lambda whole: b"",
        lambda whole: whole + b"x",
        lambda whole: whole[:40] + bytes([whole[40] ^ 1]) + whole[41:],
        lambda whole: bytes(32) + whole[32:],
    ],
)
def test_what_is_damaged_is_not_given(store: Store, tmp_path: Path, spoil) -> None:
    store.put("bike", {"mass": 24.5})
    path = only_file(tmp_path)
    path.write_bytes(spoil(path.read_bytes()))

    assert store.get("bike") is None


def test_what_was_put_under_another_key_is_not_given(store: Store, tmp_path: Path) -> None:
    """As by a file that was renamed."""
    store.put("bike", 1)
    path = only_file(tmp_path)
    store.put("other", 2)
    other = next(each for each in path.parent.iterdir() if each != path)
    other.replace(path)

    assert store.get("bike") is None


class Harm:
    """A value whose pickle makes a file when it is read."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def __reduce__(self):
        return Path.touch, (self.path,)


@pytest.mark.parametrize("signature", [b"", bytes(32), None])
def test_a_foreign_file_is_never_read(
    store: Store, tmp_path: Path, signature: bytes | None
) -> None:
    """Reading a pickle runs what it says (CWE-502); so one that another hand wrote or signed is left alone."""
    harmed = tmp_path / "harmed"
    theirs = Store(tmp_path / "kept", bytes(32))
    theirs.put("bike", Harm(harmed))
    if signature is not None:
        only_file(tmp_path).write_bytes(signature + pickle.dumps(Harm(harmed)))

    assert store.get("bike") is None
    assert not harmed.exists()
    assert theirs.get("bike") is None or signature is None
    assert harmed.exists() == (signature is None), "the harm is real where it is believed"


def test_what_nobody_asked_for_goes(store: Store, tmp_path: Path) -> None:
    for name in ("asked", "wanted", "put", "old"):
        Store(tmp_path / "kept", KEY).put(name, name)
    store.get("asked")
    store.want("wanted")
    store.put("put", 1)
    store.forget_others()

    fresh = Store(tmp_path / "kept", KEY)
    assert [fresh.get(name) for name in ("asked", "wanted", "put", "old")] == [
        "asked",
        "wanted",
        1,
        None,
    ]


def test_a_folder_that_takes_nothing_costs_time_alone(tmp_path: Path) -> None:
    (tmp_path / "kept").write_text("a file where the folder should be")
    store = Store(tmp_path / "kept", KEY)
    store.put("bike", 1)
    store.forget_others()

    assert store.get("bike") is None


def test_the_key_is_the_users_own(state: Path) -> None:
    """Made once, readable by nobody else."""
    made = secret.key()

    assert made is not None
    assert len(made) == 32
    assert secret.key() == made
    path = state / "bike-guide-generator" / "key"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [each.name for each in path.parent.iterdir()] == ["key"]


def test_the_first_key_stays(state: Path) -> None:
    """Where two builds make it at once."""
    first = secret.key()
    secret._make(state / "bike-guide-generator" / "key")

    assert secret.key() == first


def _open_to_all(path: Path) -> None:
    path.chmod(0o644)


def _short(path: Path) -> None:
    path.write_bytes(b"too short")


def _link(path: Path) -> None:
    path.rename(path.with_name("elsewhere"))
    path.symlink_to(path.with_name("elsewhere"))


def _folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


@pytest.mark.parametrize("spoil", [_open_to_all, _short, _link, _folder])
def test_a_key_that_others_may_know_is_not_used(state: Path, tmp_path: Path, spoil) -> None:
    assert secret.key()
    spoil(state / "bike-guide-generator" / "key")

    assert secret.key() is None
    Store.of(tmp_path, "worked").put("bike", 1)
    assert not (tmp_path / ".cache").exists()


def test_without_a_place_for_the_key_nothing_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "file"))

    assert secret.key() is None
    assert Store.of(tmp_path, "worked").get("bike") is None


def test_what_a_repository_brings_is_not_read(tmp_path: Path) -> None:
    """Here a link in the place of the folder; what git has of it is refused by the same rule."""
    (tmp_path / "elsewhere").mkdir()
    os.symlink(tmp_path / "elsewhere", tmp_path / ".cache")
    Store.of(tmp_path, "worked").put("bike", 1)

    assert list((tmp_path / "elsewhere").iterdir()) == []
