"""Charts drawn by an earlier build, so that only changed ones are drawn again.

Drawing is slow, its input is small and its output depends on nothing else: so a chart is kept under
the hash of its specification, of the program that draws and of our code around it.
"""

import hashlib
import json
import os
from contextlib import suppress
from importlib.metadata import version
from pathlib import Path
from typing import Any

from generator.charts import svg


class ChartCache:
    """Stands in for `svg.convert`. A folder that cannot be written costs time and nothing else."""

    def __init__(self, folder: Path, convert: svg.Convert = svg.convert) -> None:
        self._folder = folder
        self._convert = convert
        self._used: set[Path] = set()
        self._drawn_by = version("vl-convert-python") + Path(svg.__file__).read_text("utf-8")

    def convert(self, spec: dict[str, Any]) -> str:
        """The SVG of a Vega-Lite specification."""
        text = self._drawn_by + json.dumps(spec, sort_keys=True)
        path = self._folder / f"{hashlib.sha256(text.encode()).hexdigest()}.svg"
        self._used.add(path)
        with suppress(OSError, UnicodeDecodeError):
            return path.read_text("utf-8")
        drawn = self._convert(spec)
        with suppress(OSError):
            self._keep(path, drawn)
        return drawn

    def forget_unused(self) -> None:
        """Delete what the build that now ends did not ask for."""
        for path in self._folder.glob("*"):
            if path not in self._used:
                with suppress(OSError):
                    path.unlink()

    def _keep(self, path: Path, drawn: str) -> None:
        """Write whole or not at all, since a build may be killed at any moment."""
        self._folder.mkdir(parents=True, exist_ok=True)
        half = path.with_suffix(f".{os.getpid()}")
        half.write_text(drawn, "utf-8")
        half.replace(path)
