"""The hostile publication, built once."""

from pathlib import Path

import pytest

from generator.publish.build.build import build
from tests.hostile import strings


@pytest.fixture(scope="session")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the built site."""
    root = strings.publication(tmp_path_factory.mktemp("hostile"))
    build(root)
    return root / "site"
