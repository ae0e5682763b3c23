"""The `trainer` command. Each command group lives in its own module and is imported only when it is called.

Exit status: 0 done; 1 the check found something, or the answer was wrong; 2 the call could not be taken.
"""

from __future__ import annotations

import importlib
from typing import Final

import click

from trainer import __version__
from trainer.errors import TrainerError

# command: (module, attribute, one line of help)
COMMANDS: Final = {
    "bank": ("trainer.cli.bank", "bank", "Check, draw and grade the questions of the bank."),
    "calc": ("trainer.cli.calc", "calc", "Do a calculation, with its worked solution."),
    "demo": ("trainer.cli.demo", "demo", "Make an invented shop with people and history, and serve it."),
    "digest": ("trainer.cli.digest", "digest", "Send the daily e-mail: what is due and what runs out."),
    "doctor": ("trainer.cli.doctor", "doctor", "Check this installation and say what to do."),
    "export": ("trainer.cli.export", "export", "Take everything out into one archive of open formats."),
    "init": ("trainer.cli.shop", "init", "Set up a shop: its name and its first owner."),
    "backup": ("trainer.cli.shop", "backup", "Copy a shop's data into one file while it is in use."),
    "lessons": ("trainer.cli.lessons", "lessons", "Check the lessons."),
    "move-store": (
        "trainer.cli.shop",
        "move_store",
        "Carry a shop's data from a file to PostgreSQL, or back.",
    ),
    "new-code": ("trainer.cli.shop", "new_code", "Let someone back in who is locked out, an owner too."),
    "restore": ("trainer.cli.shop", "restore", "Put a copy of a shop's data in place."),
    "takeoff": ("trainer.cli.takeoff", "takeoff", "Work out a whole job: materials, weights, steps, dates."),
    "worksheet": (
        "trainer.cli.worksheet",
        "worksheet",
        "Print a quiz: a sheet for each person, and the key.",
    ),
    "serve": ("trainer.cli.serve", "serve", "Serve a shop to its people's phones and desks."),
}


class Commands(click.Group):
    """The command groups, found by name without importing the others."""

    def list_commands(self, context: click.Context) -> list[str]:
        return sorted(COMMANDS)

    def get_command(self, context: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        module, attribute, _ = COMMANDS[name]
        command = getattr(importlib.import_module(module), attribute)
        if not isinstance(command, click.Command):
            raise TypeError(f"{module}.{attribute} is not a command")
        return command

    def format_commands(self, context: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, COMMANDS[name][2]) for name in self.list_commands(context)])


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="trainer")
def cli() -> None:
    """Topping Out: apprentice training, quizzes and roof clearance for chimney-top work.

    Try it with an invented shop: trainer demo

    \b
    Exit status:
      0  done, or the answer was right
      1  the check found something, or the answer was wrong
      2  the call could not be taken; a sentence says why

    \b
    The Tab key completes commands and options after this line, in the file that your shell reads when it starts:
      bash  eval "$(_TRAINER_COMPLETE=bash_source trainer)"
      zsh   eval "$(_TRAINER_COMPLETE=zsh_source trainer)"
      fish  _TRAINER_COMPLETE=fish_source trainer | source
    """


def main() -> None:
    """Run the command; an error raised on purpose becomes one sentence and exit status 2."""
    try:
        cli(prog_name="trainer")
    except TrainerError as error:
        click.echo(f"trainer: {error}", err=True)
        raise SystemExit(2) from None
