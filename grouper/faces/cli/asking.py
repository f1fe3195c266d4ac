"""Asking on the terminal: before something that cannot be taken back, and who is who."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import replace

import click

from grouper.errors import InputError
from grouper.faces.cli.common import show
from grouper.model.roster import Roster
from grouper.planning.admit import NewList
from grouper.planning.recognise import Told, recognised
from grouper.words import Said


def agreed(yes: bool, would: Iterable[str | Said], question: str) -> bool:
    """Whether to go on: after ``--yes``, or after a yes on the terminal to what would happen.

    Raises
    ------
    InputError
        There is nobody to ask: what would happen has been said, and nothing has been done.
    """
    show(would)
    if yes:
        return True
    if not sys.stdin.isatty():
        raise InputError("nothing was changed; add --yes to do it")
    return click.confirm(question)


def who_is_who(before: Roster, new: NewList, told: Told) -> Told:
    """What was told of who is who on a new list, and on a terminal what is answered for each that is in doubt still."""
    while sys.stdin.isatty() and (doubts := recognised(before, new.roster, told).doubts):
        student, candidates = doubts[0].student, doubts[0].candidates
        click.echo(f"{student.name} ({student.id}) on the new list is")
        for number, was in enumerate(candidates, start=1):
            click.echo(f"  {number}  {was.name} ({was.id}{', who has left' if was.archived else ''})")
        click.echo("  0  a new student")
        chosen = click.prompt("Which", type=click.IntRange(0, len(candidates)))
        if chosen:
            told = replace(told, same={**told.same, student.id: candidates[chosen - 1].id})
        else:
            told = replace(told, new=told.new | {student.id})
    return told
