"""The command `diagnose`: it gathers the commands, and turns what went wrong into a clear line and an exit code."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from importlib import import_module
from pathlib import Path

import click

from diagnose import __version__
from diagnose.commands import common
from diagnose.errors import DiagnoseError
from diagnose.graph.problem import KnowledgeError

GROUPS = {
    "at the car": {
        "walk": "walk:walk",
        "owed": "owed_and_why:owed",
        "why": "owed_and_why:why",
        "find": "find:find",
        "prepare": "prepare:prepare",
    },
    "your cars": {
        "engine": "engine:engine",
        "car": "car:car",
        "outing": "outing:outing",
        "needles": "needles:needles",
        "day": "day:day",
        "fuel": "fuel:fuel",
        "throttle": "throttle:throttle",
        "paper": "paper:paper",
        "picture": "picture:picture",
        "record": "record:record",
    },
    "for mentors": {
        "practice": "practice:practice",
        "prove": "prove:prove",
        "preview": "preview:preview",
        "review": "review:review",
        "list": "list_knowledge:list_",
        "serve": "serve:serve",
        "club": "club:club",
        "schema": "club:schema",
    },
}
"""Each command under the job that it is for, as ``module:name`` in `diagnose.commands`."""

COMMANDS = {name: place for group in GROUPS.values() for name, place in group.items()}

INTERRUPTED = 130
CRASHED = 70
"""EX_SOFTWARE of sysexits.h."""


class _Commands(click.Group):
    """Imports the one command that is asked for: the others would cost every start."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click gives it
        return list(COMMANDS)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """Name the commands under their jobs: a line for each one would not fit a screen."""
        with formatter.section("Commands"):
            formatter.write_dl([(job, ", ".join(group)) for job, group in GROUPS.items()])
        formatter.write_paragraph()
        formatter.write_text("What each one does: diagnose walk --help, for example.")

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        if cmd_name not in COMMANDS:
            return None
        module, name = COMMANDS[cmd_name].split(":")
        found = getattr(import_module(f"diagnose.commands.{module}"), name)
        assert isinstance(found, click.Command)
        return found


@click.group(cls=_Commands, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--knowledge",
    common.OVERLAYS,
    metavar="DIR",
    multiple=True,
    type=click.Path(path_type=Path),
    help="A club's own files, on top; repeatable.",
)
@click.version_option(__version__, prog_name="diagnose", message="%(prog)s %(version)s")
@click.pass_context
def cli(ctx: click.Context, overlays: tuple[Path, ...]) -> None:  # noqa: ARG001 - the context keeps it
    """Find the mechanical fault first. Without a command it opens on the screen.

    Example: diagnose walk revs-hang --plain.
    """
    if ctx.invoked_subcommand is None:
        from diagnose.commands.walk import open_ui

        open_ui()


def main() -> None:
    """Run the command, and leave with its exit code."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:  # whoever started the program closed it: nobody types there, or reads
            setattr(sys, name, Path(os.devnull).open(mode, encoding="utf-8"))  # noqa: SIM115 - for all of the run
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # a terminal that can't show a sign gets a question mark
            stream.reconfigure(errors="replace")
    code = guarded(lambda: cli.main(prog_name="diagnose", standalone_mode=False))
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError:  # the disk behind it is full, or its terminal is gone: the interpreter would try once more
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
            code = code or DiagnoseError.exit_code
    sys.exit(code)


def guarded(run: Callable[[], object]) -> int:
    """Return the exit code of `run`; what it raises becomes a line on stderr."""
    try:
        code = run()
    except click.exceptions.Abort:
        return INTERRUPTED  # everything up to the last answer is saved already
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except DiagnoseError as error:
        _told(error)
        return error.exit_code
    except Exception as error:
        _crashed(error)
        return CRASHED
    return code if isinstance(code, int) else 0


def _told(error: DiagnoseError) -> None:
    """Say what the person can mend, and, where that is the club's folder in use, how to work without it."""
    if not isinstance(error, KnowledgeError):
        common.say(f"diagnose: {error}", err=True)
        return
    said = common.shorter(str(error))
    common.say(f"diagnose: {error.count}\n{said}" if len(error.problems) > 1 else f"diagnose: {said}", err=True)
    if way_back := common.without_club(error):
        common.say(way_back, err=True)


def _crashed(error: Exception) -> None:
    """Write the crash log, and say where it is."""
    import traceback  # only in a crash

    from diagnose.folders import home

    told = "".join(traceback.format_exception(error))
    common.say(f"diagnose: something is wrong with the program itself: {error!r}", err=True)
    try:
        folder = home()
        folder.mkdir(parents=True, exist_ok=True)
        log = folder / f"crash-{os.getpid()}.log"
        log.write_text(f"needles-last {__version__}, Python {sys.version}\n{sys.argv}\n\n{told}", "utf-8")
    except OSError:
        common.say(told, err=True)
        return
    common.say(f"What happened is written in {log}. What you answered is saved.", err=True)
