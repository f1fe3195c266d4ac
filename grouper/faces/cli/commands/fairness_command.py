"""``grouper fairness``: how fair the plan is."""

from __future__ import annotations

import json
from pathlib import Path

import click

from grouper.faces.cli.common import class_argument, show
from grouper.faces.wording.fairness import fairness_data, summary_lines
from grouper.faces.wording.words import clean
from grouper.files.store import ClassFile
from grouper.planning.fairness import fairness_of, weighed_of

LONG = 100.0
"""Of CP-SAT's deterministic time, for a proof that somebody waits for: one or two minutes."""


@click.command()
@class_argument
@click.option("--json", "as_json", is_flag=True, help="For other programs.")
@click.option("--prove", is_flag=True, help="Look for a proof for longer: up to some minutes.")
def command(class_path: Path, as_json: bool, prove: bool) -> None:
    """Show how fair the plan is, taught lessons included, beside what no plan can beat."""
    record = ClassFile(class_path).read().record
    fairness = fairness_of(record, LONG) if prove else fairness_of(record)
    together = weighed_of(record) if prove else None
    if as_json:
        click.echo(json.dumps(clean(fairness_data(record, fairness, together)), ensure_ascii=False, indent=2))
    else:
        show(summary_lines(record, fairness, together))
