"""`python -m tests.vendor`: fetch what `templates/vendor` keeps again, and rewrite files and hashes.

Needs npm, and nothing else does: a build and the tests take the files as they stand.
"""

import hashlib
import re
import shutil
import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path
from typing import Any

import yaml

FOLDER = Path(__file__).resolve().parents[1] / "templates" / "vendor"
RECORD = FOLDER / "vendor.yaml"


def kept() -> list[dict[str, Any]]:
    """Each file with its package, version, place in the package, hash and licence."""
    found: list[dict[str, Any]] = yaml.safe_load(RECORD.read_text("utf-8"))
    return found


def digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def fetched(package: str, version: str, *members: str) -> list[bytes]:
    """Files of a published package; npm checks it against the registry's own hash."""
    with tempfile.TemporaryDirectory() as folder:
        command = ["npm", "pack", "--silent", "--pack-destination", folder, f"{package}@{version}"]
        subprocess.run(command, check=True, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL)
        (archive,) = Path(folder).glob("*.tgz")
        with tarfile.open(archive) as opened:
            files = [opened.extractfile(f"package/{member}") for member in members]
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
        record = re.sub(one["sha256"], digest(data), record)
        same = "as recorded" if digest(data) == one["sha256"] else "changed"
        sys.stdout.write(f"{one['file']}: {one['package']} {one['version']}, {same}\n")
    RECORD.write_text(record, "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
