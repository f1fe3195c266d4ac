"""Sheets to print: one for the wall, one for the teacher."""
