"""What every test shares: the option for long proofs, and how hard hypothesis looks."""

from __future__ import annotations

import os

import pytest
from hypothesis import HealthCheck, settings

# Examples are derived from the test's own text, so that a run can be repeated anywhere; no deadline, since
# the first example of a test may pay for an import.
settings.register_profile(
    "modest", max_examples=60, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("long", parent=settings.get_profile("modest"), max_examples=2000, derandomize=False)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "modest"))


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the option that lets long proofs run."""
    parser.addoption("--run-slow", action="store_true", help="run the tests marked slow as well")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Skip long proofs that were not asked for."""
    if config.getoption("--run-slow"):
        return
    for item in items:
        if "slow" in item.keywords:
            item.add_marker(pytest.mark.skip(reason="a long proof; run with --run-slow"))
