"""Pairs, teams and rotations for a whole unit of lessons, fair and repaired in a blink."""

__version__ = "0.1.0"
