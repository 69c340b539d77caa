"""Third-party files are unchanged, with their licence beside them."""

import gzip
import shutil
from pathlib import Path

from generator.pages import search
from tests.vendor import FOLDER, altered, kept


def test_files_are_as_recorded() -> None:
    assert altered() == []


def test_a_change_of_one_byte_is_noticed(tmp_path: Path) -> None:
    """A change in any file, licences included, is found, and so is a missing or an unrecorded file."""
    copy = shutil.copytree(FOLDER, tmp_path / "vendor")
    for path in sorted(copy.iterdir()):
        data = path.read_bytes()
        path.write_bytes(data[:-1] + bytes([data[-1] ^ 1]))
        assert altered(copy) == [path.name] * (path.name != "vendor.yaml"), path.name
        path.write_bytes(data)
    (copy / "minisearch.js").rename(copy / "other.js")

    assert altered(copy) == ["minisearch.js", "other.js"]


def test_every_file_has_its_licence() -> None:
    named = {"vendor.yaml"} | {one[key] for one in kept() for key in ("file", "licence_file")}

    assert {path.name for path in FOLDER.iterdir()} == named
    for one in kept():
        text = (FOLDER / one["licence_file"]).read_text("utf-8")

        assert "Copyright" in text, one["licence_file"]
        assert {"MIT": "Permission is hereby granted", "OFL-1.1": "SIL Open Font License"}[
            one["licence"]
        ] in text


def test_the_search_library_goes_out_lean_and_with_its_licence() -> None:
    """Comments are removed, the licence is kept; 8 KB compressed is the house's limit for a bundle."""
    sent = search.build_search_library().decode()

    assert sent.startswith("/*!")
    assert "Permission is hereby granted" in sent
    assert "@private" not in sent
    assert len(gzip.compress(sent.encode())) <= 8_500
