"""Settings for all tests: hypothesis draws the same examples in every run, and no clock decides.

``pytest --hypothesis-profile=long`` draws many more, and others each time: for whoever changes rules or engines.
"""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, settings

_PATIENT = [HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large]

settings.register_profile(
    "same-every-time", derandomize=True, deadline=None, max_examples=40, suppress_health_check=_PATIENT
)
settings.register_profile("long", deadline=None, max_examples=1000, suppress_health_check=_PATIENT)
settings.load_profile("same-every-time")


def pytest_addoption(parser: pytest.Parser) -> None:
    """The tests in a real browser need one, and the accessibility checker from npm: they are asked for by name."""
    parser.addoption("--with-browser", action="store_true", help="Run the page's tests in Chromium too.")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Without the option, leave out what drives a browser; with it, a missing browser is a failure."""
    if config.getoption("--with-browser"):
        return
    in_browser = [item for item in items if "browser" in getattr(item, "fixturenames", ())]
    if in_browser:
        config.hook.pytest_deselected(items=in_browser)
        items[:] = [item for item in items if item not in set(in_browser)]
