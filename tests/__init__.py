"""Tests, in rooms that mirror `generator/`; `python -m tests` runs them all."""
