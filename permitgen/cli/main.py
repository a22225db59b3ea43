"""``permitgen``: the group of commands. A command's module is imported only when that command runs."""

from __future__ import annotations

import errno
import gc
import importlib
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from typing import TypeVar

import click
from click.shell_completion import shell_complete

from permitgen import __version__
from permitgen.cli.exit_status import BAD_INPUT, CANNOT_WRITE, DONE, FAULT, STOPPED
from permitgen.cli.fault import report_fault

# What a run builds lives until the run ends; looking for rubbish in between costs a seventh of the time and finds none.
COLLECT_AFTER = (100_000, 20, 20)
_COMPLETE = "_PERMITGEN_COMPLETE"
_OUTPUT_FAILS = (errno.EPIPE, errno.EBADF, errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)

Result = TypeVar("Result")

# Name, what it does. The module is permitgen.cli.<name>, the function has the same name.
COMMANDS: dict[str, str] = {
    "new": "Start a project: ask what has to be known and write a file that builds.",
    "hardware": "Import, describe and check hardware files.",
    "build": "Evaluate a project and write its package.",
    "check": "Print the findings of a project.",
    "batch": "Check or build all projects below a folder, or say what another edition changes for them.",
    "find": "Find equipment, devices and labels in all projects below a folder.",
    "rules": "List the rules, or print what one of them requires.",
    "explain": "Print how a number, verdict or label came about.",
    "limits": "Print what else passes at each circuit, and what forbids the next.",
    "labels": "Print labels alone, for the printer at hand.",
    "forms": "List the fields of a form, with a mapping to start from.",
    "compare": "Print what changes between two projects or two editions.",
    "survey": "Write the open questions for the person at the site, or take the answers into the project file.",
    "memory": "List what departments asked for before, or keep what a review asked for.",
    "record": "Take field results into the folder field/ beside the project file.",
    "freeze": "Keep the sizes that the approved revision was approved with.",
    "verify": "Compare a package with its manifest.",
    "sign": "Sign the manifest of a package.",
    "redirect": "Make the page that leads to a record that has moved.",
    "schema": "Print the JSON Schema of the project file.",
}


class LazyGroup(click.Group):
    """A group that knows its commands by name and imports one only when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names in the order of the table."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import and return the command."""
        if cmd_name not in COMMANDS:
            return None
        found: click.Command = getattr(importlib.import_module(f"permitgen.cli.{cmd_name}"), cmd_name)
        return found

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands from the table, without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(
    cls=LazyGroup,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="""Turn one site's facts into calculation, plan sheets, labels, placard, checklist and record.

PROJECT is a project file or the folder that holds project.yaml. Exit status: 0 done and no violation, 1 done and
violations found, 2 bad input or usage (nothing written), 3 could not write, 4 a fault of the program (a report of it is
written), 5 done, but a document could not be made (the others say so), 130 stopped from the keyboard.
""",
)
@click.version_option(__version__, prog_name="permitgen")
def cli() -> None:
    pass


def main() -> None:
    """Run the command line; every way in which it can end is one exit status."""
    gc.set_threshold(*COLLECT_AFTER)
    sys.exit(_run(sys.argv[1:]))


def _run(arguments: list[str]) -> int:
    if sys.stdout is None:  # started with a closed standard output: writing shall fail, not vanish
        sys.stdout = os.fdopen(os.open(os.devnull, os.O_RDONLY), "w", encoding="utf-8")
    status, fault = without_fault(lambda: _ended_by_command(arguments), arguments)
    return _ended(fault, FAULT) if status is None else status


def without_fault(work: Callable[[], Result], arguments: list[str]) -> tuple[Result | None, str]:
    """Do the outermost work of a process: return its result, or None and the message of a fault of the program, its report written."""
    try:
        return work(), ""
    except Exception as error:  # noqa: BLE001 - the outermost call: whatever comes here is a fault, and people get no traceback
        return None, report_fault(error, arguments)


def _ended_by_command(arguments: list[str]) -> int:
    try:
        status = _invoked(arguments)
        sys.stdout.flush()
    except KeyboardInterrupt:
        return _ended("stopped", STOPPED)
    except OSError as error:
        if not _is_of_a_stream(error):
            raise
        _let_go_of_output()
        return _ended("" if isinstance(error, BrokenPipeError) else f"standard output: {error.strerror}", CANNOT_WRITE)
    return status


def _invoked(arguments: list[str]) -> int:
    """Run the command and return its status. Not by ``cli.main``, which makes 1 of a key from the keyboard and of a closed pipe."""
    if instruction := os.environ.get(_COMPLETE):
        return shell_complete(cli, {}, "permitgen", _COMPLETE, instruction)
    try:
        with cli.make_context("permitgen", arguments) as context:
            cli.invoke(context)
    except click.exceptions.Exit as error:
        return error.exit_code
    except click.ClickException as error:
        error.show()
        return BAD_INPUT
    except SystemExit as error:
        return error.code if isinstance(error.code, int) else DONE
    except click.Abort:
        raise KeyboardInterrupt from None
    return DONE


def _is_of_a_stream(error: OSError) -> bool:
    """Say whether writing to standard output or standard error failed: an error of a file carries the file's name."""
    return error.filename is None and error.errno in _OUTPUT_FAILS


def _let_go_of_output() -> None:
    """Send what is still buffered nowhere, or closing down would fail once more."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _ended(message: str, status: int) -> int:
    if message:
        with suppress(OSError):
            click.echo(message, err=True)
    return status


if __name__ == "__main__":
    main()
