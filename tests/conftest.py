"""For every test: a Chromium, one for each process that tests; and Hypothesis sets no deadlines, since speed is measured in
the benchmarks and machines are busy."""

import shutil
from collections.abc import Iterator

import pytest
from hypothesis import settings
from playwright.sync_api import Browser, sync_playwright

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

FLAGS = [
    "--no-sandbox",  # tests may run as root, where Chromium's sandbox refuses to start
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--hide-scrollbars",
]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    chromium = shutil.which("chromium")
    assert chromium, "install Debian's chromium, or run `python -m tests` as root"
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        yield started
        started.close()
