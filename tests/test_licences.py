"""Whatever a build uses is under a licence that was agreed to, and an unknown one is noticed."""

from email.message import Message
from importlib.metadata import distribution

import pytest

from tests.licences import ALLOWED, SPELT, listed, needed, refused, stated
from tests.lock import FOLDER
from tests.vendor import kept


def test_everything_is_under_a_licence_that_is_allowed() -> None:
    """A new one is looked at by a person, who then adds it to ALLOWED or takes the package out."""
    found = {name: refused(statements) for name, _, statements in listed()}

    assert {name: words for name, words in found.items() if words} == {}
    assert len(found) == len(list(needed())) + len(kept()) > 20


def test_what_is_looked_at_is_what_is_locked() -> None:
    """No package that an install brings is passed over, nor one that the lock leaves out."""
    text = (FOLDER / "run.txt").read_text("ascii")

    assert set(needed()) == {line.split("==")[0] for line in text.splitlines() if "==" in line}


def test_a_package_carries_its_licence_with_it() -> None:
    """The text stands in the package too; the notices ask for that."""
    words = ("licen", "copying", "notice")
    for name in needed():
        files = [str(file).lower() for file in distribution(name).files or []]
        assert any(word in file for file in files for word in words), name


def package(**fields: str | list[str]) -> Message:
    metadata = Message()
    for key, value in fields.items():
        for line in [value] if isinstance(value, str) else value:
            metadata[key.replace("_", "-")] = line
    return metadata


@pytest.mark.parametrize(
    ("metadata", "words"),
    [
        (package(License_Expression="MIT"), []),
        (package(License_Expression="(MIT AND Zlib) OR Apache-2.0 WITH LLVM-exception"), []),
        (package(License_Expression="MIT OR GPL-2.0-only"), ["GPL-2.0-only"]),
        (package(License_Expression="LGPL-3.0-or-later"), ["LGPL-3.0-or-later"]),
        (package(Classifier=["License :: OSI Approved :: BSD License", "Topic :: Games"]), []),
        (
            package(
                Classifier=["License :: OSI Approved :: GNU General Public License v3 (GPLv3)"]
            ),
            ["GNU General Public License v3 (GPLv3)"],
        ),
        (
            package(License="Proprietary", Classifier="License :: OSI Approved :: MIT License"),
            ["Proprietary"],
        ),
        (package(License="MIT License"), []),
        (package(License="Copyright (c) 2015\nAll rights reserved"), ["no licence stated"]),
        (package(Name="silent"), ["no licence stated"]),
    ],
)
def test_what_metadata_say(metadata: Message, words: list[str]) -> None:
    """PEP 639 for the expression; classifiers and the field License as packages had them before."""
    assert refused(stated(metadata)) == words


def test_old_spellings_lead_to_what_is_allowed() -> None:
    assert set(SPELT.values()) <= ALLOWED
