"""Where the program's own files lie: the package, and the templates and schemas that came with it."""

from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[1]
"""Folder of the package `generator`."""

ROOT = PACKAGE.parent
"""Folder of the checkout, which is a publication too."""

TEMPLATES = ROOT / "templates"
"""Templates, styles and scripts; a publication's own go before them."""
