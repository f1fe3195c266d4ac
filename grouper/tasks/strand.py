"""Which strand speaks for an activity when tasks and handicaps are worked out."""

from __future__ import annotations

from grouper.learning.about import strand_of
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey


def strand_for(record: ClassRecord, key: RoundKey) -> str:
    """The strand of a round's activity; the only one of the class where the activity goes by none; or none."""
    strands = record.roster.strands
    return strand_of(record, key) or (strands[0] if len(strands) == 1 else "")
