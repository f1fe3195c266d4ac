"""The command ``grouper``: its commands by name, each loaded only when it is called."""

from __future__ import annotations

import os
import sys
from importlib import import_module

import click

from grouper import __version__
from grouper.errors import GrouperError, OurBugError
from grouper.faces.cli.terminal import clean_streams

SECTIONS: dict[str, dict[str, str]] = {
    "Before the unit": {
        "template": "Write an empty workbook to fill in: roster, lessons, requests.",
        "plan": "Plan the unit, or what is left of it.",
        "school": "Plan every class file of a folder.",
        "choices": "Show plans to pick from, newest partners to most even teams.",
        "import": "Read the roster again: students join, or leave and are archived.",
        "demo": "See it all on an invented class.",
    },
    "On the day": {
        "absent": "Students are away from a lesson; its groups are changed.",
        "present": "They are there after all.",
        "aside": "Students are there, sit out and have a role.",
        "swap": "Let two students swap groups.",
        "regroup": "Make fewer or more groups, as when a court is closed.",
        "lesson": "Show the groups of a lesson.",
        "tasks": "Show a task that fits for each group; set up levers, cupboard.",
        "step": "Choose a group's task, or see ways to make it easier or harder.",
        "adapt": "Keep something for one child in every task: large ball, seated.",
        "page": "Open the page in the browser: groups, wall screen, evidence.",
        "sheets": "Write the sheets of a lesson, for the wall and for the teacher.",
    },
    "Games and stations": {
        "games": "Plan games: who plays whom, on which court, who is on duty.",
        "stations": "Plan a circuit: every group at every station once.",
        "resume": "Go on after a court closes, a team leaves or time is lost.",
        "score": "Enter the result of a game.",
        "handicap": "Show points to start with that make uneven games even.",
        "standings": "Show the table of games over the unit.",
        "calendar": "Write the lessons that have dates for a calendar.",
    },
    "After the lesson": {
        "taught": "Close a lesson, as planned or as it went.",
        "ran": "Say what was not as planned in a round, or note something.",
        "felt": "Enter how a task went for groups: easy, right, hard, 7/10.",
        "measure": "Work out ratings from a test, such as a shuttle run.",
        "suggest": "Show ratings that results suggest, and accept them.",
        "fairness": "Show how fair the plan is, beside what no plan can beat.",
        "report": "Write a report to print: the class, without names, or one student.",
        "handover": "Make a class file for the next teacher: names, and who met whom.",
        "export": "Write groups, attendance and more as tables, of one class or many.",
        "next": "End the unit and plan the next, which knows the old one.",
    },
    "The class": {
        "join": "A student is new in the class.",
        "leave": "A student has left the class.",
        "pin": "Keep a round as it is when the unit is planned again.",
        "undo": "Take back the last change, whatever it was.",
        "redo": "Do again what was taken back last.",
        "history": "List the changes of the class file.",
        "restore": "Bring back a copy of a class file that is damaged.",
        "own-data": "Write all that is held on one student, and nothing of others.",
        "erase": "Erase a student from every byte of the class file.",
        "purge": "Clear away what a unit leaves behind.",
    },
}
"""Every command with its line of help, so that ``--help`` loads none of them."""

ROOMS = {
    "unit": ("plan", "import", "next"),
    "school": ("school", "choices", "demo"),
    "day": ("absent", "present", "aside", "join", "leave", "regroup", "swap", "pin", "lesson", "sheets"),
    "tasks": ("tasks", "step", "adapt", "handicap"),
    "play": ("games", "stations", "resume"),
    "results": ("score", "standings", "felt"),
    "after": ("taught", "ran"),
    "ratings": ("measure", "suggest"),
    "reports": ("fairness", "report", "export", "calendar", "template"),
    "pages": ("page",),
    "steps": ("undo", "redo", "history", "restore"),
    "keeping": ("own-data", "handover", "erase", "purge"),
}
"""Modules that hold commands which change together: what one of them needs is loaded for its kin alone."""

ROOM_OF = {name: room for room, names in ROOMS.items() for name in names}
COMMANDS = {name: line for section in SECTIONS.values() for name, line in section.items()}


class Lazy(click.Group):
    """A group that imports a command when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All names, in the order of use."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command with this name, imported now."""
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"grouper.faces.cli.commands.{ROOM_OF[cmd_name]}")
        command = getattr(module, f"{cmd_name.replace('-', '_')}_command")
        return command if isinstance(command, click.Command) else None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The lines of help by section, from the list above."""
        for section, commands in SECTIONS.items():
            with formatter.section(section):
                formatter.write_dl(list(commands.items()))


@click.group(cls=Lazy)
@click.version_option(__version__, prog_name="grouper")
def cli() -> None:
    """Pairs, teams and rotations for a whole unit of lessons."""


def main(arguments: list[str] | None = None) -> None:
    """Run a command; the exit status is the error's (see grouper.errors)."""
    clean_streams()
    try:
        status = cli.main(args=arguments, prog_name="grouper", standalone_mode=False)
    except click.exceptions.Exit as end:
        status = end.exit_code
    except click.Abort:
        click.echo("stopped; nothing was changed", err=True)
        status = 1
    except click.ClickException as error:
        show_usage_error(error)
        status = error.exit_code
    except GrouperError as error:
        from grouper.faces.cli.remedies import error_lines

        for line in error_lines(error):
            click.echo(line, err=True)
        status = error.exit_status
    # Whoever read the output, such as head, has enough: nothing is written any more, also at the very end.
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = 1
    except Exception:
        import traceback

        click.echo(traceback.format_exc(), err=True)
        click.echo("grouper: a fault in grouper itself, not yours; please report the lines above.", err=True)
        status = OurBugError.exit_status
    sys.exit(status if isinstance(status, int) else 0)


def show_usage_error(error: click.ClickException) -> None:
    """What is wrong with how a command was called, in one line; who gave nothing to a group gets its help."""
    from grouper.model.texts import in_one_line

    if isinstance(error, getattr(click.exceptions, "NoArgsIsHelpError", ())):
        error.show()
        return
    context = getattr(error, "ctx", None)
    where = f"; see {context.command_path} --help" if context else ""
    click.echo(f"grouper: {in_one_line(error.format_message(), 240).rstrip('.')}{where}", err=True)
