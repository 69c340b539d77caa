"""The cache: what is put is given back whole, and what is damaged, foreign or out of place is not used."""

import os
import stat
from pathlib import Path

import pytest

from generator.publish.cache import cache as module
from generator.publish.cache.cache import Cache
from generator.specs.encoding import fingerprint

KEY, OTHER = fingerprint("bike"), fingerprint("other")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "cache"


@pytest.fixture
def cache(folder: Path) -> Cache:
    return Cache(folder)


def entry(folder: Path, key: str = KEY) -> Path:
    return folder / key[:2] / key


def test_what_is_put_is_given_back(cache: Cache, folder: Path) -> None:
    cache.put(KEY, b"24.5 kg")

    assert cache.get(KEY) == Cache(folder).get(KEY) == b"24.5 kg"
    assert cache.has(KEY)
    assert cache.get(OTHER) is None
    assert not cache.has(OTHER)


def test_what_is_there_is_not_made_again(cache: Cache) -> None:
    made: list[int] = []

    def make() -> bytes:
        made.append(1)
        return b"drawn"

    assert [cache.get_or_make(KEY, make) for _ in range(3)] == [b"drawn"] * 3
    assert made == [1]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda whole: whole[:-1],
        lambda whole: whole[:10],
        lambda whole: b"",
        lambda whole: whole + b"x",
        lambda whole: whole[:18] + bytes([whole[18] ^ 1]) + whole[19:],
        lambda whole: bytes(16) + whole[16:],
    ],
)
def test_what_is_damaged_is_not_given(cache: Cache, folder: Path, spoil) -> None:
    cache.put(KEY, b"24.5 kg")
    entry(folder).write_bytes(spoil(entry(folder).read_bytes()))

    assert cache.get(KEY) is None


def test_what_was_put_under_another_key_is_not_given(cache: Cache, folder: Path) -> None:
    cache.put(OTHER, b"theirs")
    cache.put(KEY, b"mine")
    entry(folder, OTHER).replace(entry(folder))

    assert cache.get(KEY) is None


def test_links_pipes_and_folders_are_not_read(cache: Cache, folder: Path, tmp_path: Path) -> None:
    """A pipe would be waited for without an end."""
    cache.put(KEY, b"mine")
    elsewhere = tmp_path / "elsewhere"
    entry(folder).rename(elsewhere)
    entry(folder).symlink_to(elsewhere)
    assert cache.get(KEY) is None
    entry(folder).unlink()
    os.mkfifo(entry(folder))
    assert cache.get(KEY) is None
    entry(folder).unlink()
    entry(folder).mkdir()
    assert cache.get(KEY) is None


def test_without_a_folder_nothing_is_kept() -> None:
    cache = Cache(None)
    cache.put(KEY, b"mine")
    cache.prune(0)

    assert cache.get(KEY) is None
    assert cache.get_or_make(KEY, lambda: b"made") == b"made"


def test_a_place_that_cannot_be_written_costs_time_alone(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    cache = Cache(tmp_path / "file" / "cache")
    cache.put(KEY, b"mine")

    assert cache.get(KEY) is None


def test_the_users_folder_is_made_for_them_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    cache = Cache.of_user()
    cache.put(KEY, b"mine")

    assert cache.get(KEY) == b"mine"
    assert stat.S_IMODE((tmp_path / module.NAME).stat().st_mode) == 0o700


@pytest.mark.parametrize("kind", ["open to all", "open to a group", "a link", "a file", "relative"])
def test_a_folder_that_others_may_write_is_not_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    Cache.of_user().put(KEY, b"mine")
    folder = tmp_path / module.NAME
    if kind == "open to all":
        folder.chmod(0o777)
    elif kind == "open to a group":
        folder.chmod(0o770)
    elif kind == "a link":
        folder.rename(tmp_path / "elsewhere")
        folder.symlink_to(tmp_path / "elsewhere")
    elif kind == "a file":
        folder.rename(tmp_path / "elsewhere")
        folder.write_text("a file")
    else:
        monkeypatch.chdir(tmp_path)
        monkeypatch.setenv("XDG_CACHE_HOME", ".")

    assert Cache.of_user().get(KEY) is None


def test_what_was_not_used_for_longest_goes_first(cache: Cache, folder: Path) -> None:
    keys = [fingerprint(number) for number in range(8)]
    for age, key in enumerate(keys):
        cache.put(key, bytes(1000))
        os.utime(entry(folder, key), ns=(age, age))
    assert cache.get(keys[0])  # used now
    cache.prune(6000)

    assert [key for key in keys if cache.has(key)] == [keys[0], *keys[5:]]
    cache.prune(10**6)
    assert cache.has(keys[5])


def test_nothing_is_looked_through_where_nothing_was_put(
    cache: Cache, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cache.put(KEY, bytes(1000))
    again = Cache(folder)
    monkeypatch.setattr(again, "_entries", lambda: 1 / 0)
    again.get(KEY)
    again.prune(0)

    assert again.has(KEY)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (("ab", "c"), ("a", "bc")),
        (("1",), (b"2",)),
        ((1,), (1.5,)),
        (("a", ""), ("a",)),
        (({"a": 1},), ({"a": 2},)),
    ],
)
def test_fingerprints_tell_parts_apart(one: tuple[object, ...], other: tuple[object, ...]) -> None:
    assert fingerprint(*one) != fingerprint(*other)
    assert fingerprint(*one) == fingerprint(*one)
