"""Two hundred classes in each order of the roster: ``python -m pytest tests/bench/test_order.py`` (some minutes)."""

from __future__ import annotations

import pytest
from order_signs import Signs, listed_class

CLASSES = 200


@pytest.mark.parametrize("order", ["rising", "falling", "mixed"])
def test_order_tells_nothing_of_ability(order: str) -> None:
    """No sign over all rounds is three standard errors from nothing, and of those of single rounds hardly any."""
    signs = Signs()
    for number in range(CLASSES):
        signs.add(listed_class(number, order))
    found = signs.in_standard_errors
    over_all = {name: round(z, 2) for name, z in found.items() if ":" not in name and abs(z) >= 3}
    single = {name: round(z, 2) for name, z in found.items() if ":" in name and abs(z) >= 3}
    print(order, len(found), "signs, largest", max(abs(z) for z in found.values()), single)
    assert over_all == {}
    assert len(single) <= 2 + 0.01 * len(found)
