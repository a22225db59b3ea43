"""``permitgen``: the group of commands. A command's module is imported only when that command runs."""

from __future__ import annotations

import gc
import importlib
import sys

import click

from permitgen import __version__

# What a run builds lives until the run ends; looking for rubbish in between costs a seventh of the time and finds none.
COLLECT_AFTER = (100_000, 20, 20)

# Name, what it does. The module is permitgen.cli.<name>, the function has the same name.
COMMANDS: dict[str, str] = {
    "build": "Evaluate a project and write its package.",
    "check": "Print the findings of a project.",
    "explain": "Print how a number, verdict or label came about.",
    "labels": "Print labels alone, for the printer at hand.",
    "compare": "Print what changes between two projects or two editions.",
    "record": "Take field results into the folder field/ beside the project file.",
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
violations found, 2 bad input or usage (nothing written), 3 could not write.
""",
)
@click.version_option(__version__, prog_name="permitgen")
def cli() -> None:
    pass


def main() -> None:
    """Run the command line."""
    gc.set_threshold(*COLLECT_AFTER)
    try:
        cli.main(prog_name="permitgen", standalone_mode=True)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(3)


if __name__ == "__main__":
    main()
