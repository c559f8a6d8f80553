"""What every test shares: how hard hypothesis looks, and which tests are never slowed by coverage."""

from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("soilx", deadline=None, max_examples=50)
settings.load_profile("soilx")

TESTS = Path(__file__).parent


def pytest_collection_modifyitems(items):
    """Benchmarks measure the code, not the tracer that counts its branches."""
    for item in items:
        if TESTS / "benchmarks" in item.path.parents:
            item.add_marker(pytest.mark.benchmark)
        if item.get_closest_marker("benchmark"):
            item.add_marker(pytest.mark.no_cover)
