"""A site as it lies on the disk."""

from pathlib import Path


def site_of(out: Path) -> dict[str, bytes]:
    """Every file below `out`, by path."""
    return {
        path.relative_to(out).as_posix(): path.read_bytes()
        for path in sorted(out.rglob("*"))
        if path.is_file()
    }
