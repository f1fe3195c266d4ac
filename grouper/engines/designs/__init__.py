"""Schedules in which no two people are together twice, from algebra and a catalogue."""

from grouper.engines.designs.constructions import CONSTRUCTIONS, Construction, known_length, repeat_free_rounds
from grouper.engines.designs.design import Design
from grouper.engines.designs.limits import most_rounds

__all__ = ["CONSTRUCTIONS", "Construction", "Design", "known_length", "most_rounds", "repeat_free_rounds"]
