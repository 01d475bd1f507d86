"""The command group, and the one place where errors become sentences and exit codes."""

from __future__ import annotations

import gc
import importlib
import io
import os
import sys
from collections.abc import Sequence
from typing import Any, NoReturn

import click

# Looking for plugins of pydantic costs a check a twentieth of its time, and none is used.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

from oktocover import __version__
from oktocover.reading.problems import OktocoverError

COMMANDS = (
    "check",
    "card",
    "fieldsheet",
    "report",
    "show",
    "worksheet",
    "rules",
    "prove",
    "start",
    "set-aside",
    "portfolio",
)
UNREADABLE = 2
MOST_COLUMNS = 1000
"""Longer lines of an error are cut."""


class _Commands(click.Group):
    """Commands are imported when they are called, so that `check` pays for nothing else."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(f"oktocover.cli.{cmd_name.replace('-', '_')}").command
        return command

    def resolve_command(self, ctx: click.Context, args: list[str]) -> Any:
        from oktocover.reading.nearest import nearest

        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            near = nearest(args[0], COMMANDS)
            raise click.UsageError(f"there is no command '{args[0]}'" + (f"; did you mean '{near}'?" if near else ""))
        return super().resolve_command(ctx, args)


@click.command(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="oktocover")
def group() -> None:
    """What an inspector would write up, before the walls are closed: a building in YAML against the rules of its place.

    A pre-check is no inspection. The local code and the authority having jurisdiction decide.
    """


def run() -> NoReturn:
    """The process: as `main`, and then gone at once. Taking a building apart thing by thing costs a tenth of a run."""
    code: Any = 0
    try:
        main()
    except SystemExit as stop:
        code = stop.code
    try:
        sys.stdout.flush()
        sys.stderr.flush()
    except (OSError, ValueError):  # who was reading has gone, or closed what was to be flushed
        code = code or UNREADABLE
    os._exit(code if isinstance(code, int) else 0 if code is None else UNREADABLE)


def main(args: Sequence[str] | None = None) -> None:
    """Run the command line (`args`, or the process's own); errors are sentences, exit code 2, never a traceback."""
    # A command is one short run that throws little away: looking for garbage every 700 objects costs a tenth of it, every 50,000 a fortieth.
    gc.set_threshold(500_000, 50, 50)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a terminal may lack a letter of the site file
    try:
        group.main(args, standalone_mode=False)
    except click.exceptions.Exit as stop:
        sys.exit(stop.exit_code)
    except click.ClickException as error:
        said = io.StringIO()
        error.show(said)
        _say(said.getvalue().rstrip("\n"))
        sys.exit(UNREADABLE)
    except click.Abort:
        click.echo("stopped", err=True)
        sys.exit(130)
    except OktocoverError as error:
        _say(str(error))
        sys.exit(UNREADABLE)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(UNREADABLE)
    except OSError as error:
        _say(f"{error.filename or 'a file'}: {error.strerror or error}")
        sys.exit(UNREADABLE)
    except RecursionError:
        click.echo("this input is nested too deeply to be read", err=True)
        sys.exit(UNREADABLE)
    except Exception as error:  # the last resort: a person gets a sentence, a developer sets the variable
        if os.environ.get("OKTOCOVER_TRACEBACK"):
            raise
        _say(
            f"this is a fault of the tool, not of your file ({type(error).__name__}: {error}).\n"
            "  do: report it with the file; OKTOCOVER_TRACEBACK=1 shows where it happened"
        )
        sys.exit(UNREADABLE)


def _say(text: str) -> None:
    """Print an error; what a file holds can neither steer the terminal nor flood it."""
    for line in text.split("\n"):
        plain = "".join(char if char.isprintable() else " " if char.isspace() else "" for char in line)
        click.echo(plain if len(plain) <= MOST_COLUMNS else plain[:MOST_COLUMNS] + "...", err=True)
