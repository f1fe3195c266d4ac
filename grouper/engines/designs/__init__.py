"""Schedules in which no two people are together twice, from algebra and a catalogue."""

from grouper.engines.designs.constructions import CONSTRUCTIONS, Construction, known_length, repeat_free_rounds
from grouper.engines.designs.design import Design

__all__ = ["CONSTRUCTIONS", "Construction", "Design", "known_length", "repeat_free_rounds"]
