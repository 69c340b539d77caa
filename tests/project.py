"""Where the project stands."""

from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
"""The checkout: the program, its tests, and the publication that comes with it."""
