"""Folders of the program's own files: the package, its templates and its schemas."""

from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[1]
"""Folder of the package `generator`."""

ROOT = PACKAGE.parent
"""Folder of the checkout, which is also a publication."""

TEMPLATES = ROOT / "templates"
"""Folder of templates, styles and scripts; a publication's own take precedence."""
