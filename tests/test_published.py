"""Our numbers against numbers that other people published.

One YAML file per function in `tests/published/`, with its source. Expected values are copied from
the source by hand, in SI; `rtol` or `atol` comes from the precision of the source. What our own
code produced has no place there.
"""

from importlib import import_module
from pathlib import Path

import numpy as np
import pytest
import yaml

TABLES = sorted((Path(__file__).parent / "published").glob("*.yaml"))


@pytest.mark.parametrize("path", TABLES, ids=lambda path: path.stem)
def test_matches_published_values(path):
    """The function reproduces each row of the published table."""
    table = yaml.safe_load(path.read_text("utf-8"))
    module, name = table["function"].rsplit(".", 1)
    function = getattr(import_module(module), name)
    rtol, atol = table.get("rtol", 0.0), table.get("atol", 0.0)

    assert table["source"].strip()
    assert table["cases"]
    for case in table["cases"]:
        expected = case.pop("expected")
        np.testing.assert_allclose(
            function(**case), expected, rtol=rtol, atol=atol, err_msg=f"{case}, {table['source']}"
        )


def test_there_are_tables():
    """The folder is where this file looks for it."""
    assert len(TABLES) >= 10
