"""Settings for all tests: hypothesis draws the same examples in every run, and no clock decides.

``pytest --hypothesis-profile=long`` draws many more, and others each time: for whoever changes rules or engines.
"""

from __future__ import annotations

from collections.abc import Iterator

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
    parser.addoption("--in-browser", action="store_true", help="Run the tests that drive Chromium, and no others.")


@pytest.fixture(autouse=True, scope="module")
def little_work(request: pytest.FixtureRequest) -> Iterator[None]:
    """Searches and exact proofs take seconds each; here they are short, and exact proofs are of small classes alone.

    Most tests make claims that hold for every plan: what is said of it, kept, printed, mended. A plan that was searched
    for a moment serves them as well as a good one, and bounds hold however short their proofs are. Modules that are
    about how good plans are say so by ``pytestmark = pytest.mark.whole_search``.
    """
    if request.node.get_closest_marker("whole_search"):
        yield
        return
    from grouper.engines import by_kinds, kinds, proof
    from grouper.games import circuit_rest
    from grouper.planning import plan

    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(plan.STEPS, "quick", 4_000)
        patch.setitem(plan.STEPS, "usual", 20_000)
        patch.setattr(plan, "FEWEST_SCORINGS", 2_000)
        patch.setattr(proof, "MOST_TEAMS", 500)
        patch.setattr(proof, "EFFORT", 0.05)
        patch.setattr(kinds, "EFFORT", 0.05)
        patch.setattr(by_kinds, "MOST_CHOICES", 200)
        patch.setattr(circuit_rest, "EXCHANGES", 1_500)
        yield


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Two halves that leave nothing out: without the option what needs no browser, with it what does.

    With it a missing browser is a failure.
    """
    wanted = config.getoption("--in-browser")
    left_out = [item for item in items if ("browser" in getattr(item, "fixturenames", ())) != wanted]
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if item not in set(left_out)]
