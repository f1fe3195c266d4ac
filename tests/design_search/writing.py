"""The catalogue's file: JSON that people can read too, a base round a line."""

from __future__ import annotations

import json
from collections.abc import Iterable

from grouper.engines.designs.catalogue import BaseRound, Entry
from grouper.engines.designs.design import Sizes

_ABOUT = (
    "Made by PYTHONPATH=tests python -m design_search; do not edit. Places lie on the cycles one after another; "
    "each base round stands for so many rounds, every place moved one on along its cycle from one to the next."
)


def as_json(entries: Iterable[Entry]) -> str:
    """The text of the file."""
    designs = ",\n".join(_design(entry) for entry in entries)
    return f'{{\n"about": {json.dumps(_ABOUT)},\n"designs": [\n{designs}\n]\n}}\n'


def _design(entry: Entry) -> str:
    bases = ",\n".join(f"    {_base(base)}" for base in entry.bases)
    head = f'"sizes": "{short_form(entry.sizes)}", "length": {entry.length}, "cycles": {_compact(entry.cycles)}'
    return f'{{{head}, "bases": [\n{bases}\n  ]}}'


def _base(base: BaseRound) -> str:
    return f'{{"rounds": {base.rounds}, "groups": {_compact(base.groups)}}}'


def _compact(value: object) -> str:
    return json.dumps(value, separators=(",", ":"))


def short_form(sizes: Sizes) -> str:
    """The short form of group sizes.

    Examples
    --------
    >>> short_form((4, 4, 4, 3, 3))
    '3x4+2x3'
    """
    return "+".join(f"{sizes.count(size)}x{size}" for size in sorted(set(sizes), reverse=True))
