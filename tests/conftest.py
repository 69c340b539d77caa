"""For every test: Hypothesis sets no deadlines, since speed is measured in the benchmarks and machines are busy."""

from hypothesis import settings

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
