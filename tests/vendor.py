"""`python -m tests.vendor`: fetch what `templates/vendor` keeps again, and rewrite files and hashes.

Needs npm, and nothing else does: a build and the tests take the files as they stand.
"""

import hashlib
import shutil
import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path
from typing import Any

import yaml

from tests.project import ROOT

FOLDER = ROOT / "templates" / "vendor"
RECORD = FOLDER / "vendor.yaml"


def kept() -> list[dict[str, Any]]:
    """Each file with its package, version, place in the package, and licence; both files with their hashes."""
    found: list[dict[str, Any]] = yaml.safe_load(RECORD.read_text("utf-8"))
    return found


def altered(folder: Path = FOLDER) -> list[str]:
    """Files that are not, or no longer, what the record says."""
    recorded = {one["file"]: one["sha256"] for one in kept()}
    recorded |= {one["licence_file"]: one["licence_sha256"] for one in kept()}
    there = {path.name: digest(path.read_bytes()) for path in folder.iterdir() if path != RECORD}
    names = {*recorded, *there} - {RECORD.name}
    return sorted(name for name in names if recorded.get(name) != there.get(name))


def digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def fetched(package: str, version: str, *members: str) -> list[bytes]:
    """Files of a published package; npm checks it against the registry's own hash."""
    with tempfile.TemporaryDirectory() as folder:
        command = ["npm", "pack", "--silent", "--pack-destination", folder, f"{package}@{version}"]
        ended = subprocess.run(
            command, check=False, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL
        )
        if ended.returncode:
            sys.exit(f"npm does not give {package} {version}. Check the name and the version.")
        (archive,) = Path(folder).glob("*.tgz")
        with tarfile.open(archive) as opened:
            try:
                files = [opened.extractfile(f"package/{member}") for member in members]
            except KeyError as error:
                sys.exit(f"{package} {version} has no such file: {error.args[0]}")
            return [file.read() for file in files if file]


def main() -> int:
    if shutil.which("npm") is None:
        sys.stderr.write("This needs npm, which comes with Node.js.\n")
        return 1
    record = RECORD.read_text("utf-8")
    for one in kept():
        data, licence = fetched(
            one["package"], one["version"], one["member"], one["licence_member"]
        )
        (FOLDER / one["file"]).write_bytes(data)
        (FOLDER / one["licence_file"]).write_bytes(licence)
        record = record.replace(one["sha256"], digest(data))
        record = record.replace(one["licence_sha256"], digest(licence))
        same = "as recorded" if digest(data) == one["sha256"] else "changed: read the difference"
        sys.stdout.write(f"{one['file']}: {one['package']} {one['version']}, {same}\n")
    RECORD.write_text(record, "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
