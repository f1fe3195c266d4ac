"""Settings for all tests: hypothesis draws the same examples in every run, and no clock decides.

``pytest --hypothesis-profile=long`` draws many more, and others each time: for whoever changes rules or engines.
"""

from __future__ import annotations

from hypothesis import HealthCheck, settings

_PATIENT = [HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large]

settings.register_profile(
    "same-every-time", derandomize=True, deadline=None, max_examples=40, suppress_health_check=_PATIENT
)
settings.register_profile("long", deadline=None, max_examples=1000, suppress_health_check=_PATIENT)
settings.load_profile("same-every-time")
