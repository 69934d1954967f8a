"""What every test shares: properties are tried on the same examples each time, so that a failure can be repeated."""

from hypothesis import settings

settings.register_profile("firstcap", derandomize=True, deadline=None, max_examples=100)
settings.load_profile("firstcap")
