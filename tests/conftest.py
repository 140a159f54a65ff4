"""Settings of every Python test: the same examples on every run, and no clock."""

from hypothesis import settings

settings.register_profile("same", derandomize=True, database=None, deadline=None)
settings.load_profile("same")
