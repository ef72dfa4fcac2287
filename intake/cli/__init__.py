"""The command line: says and asks, holds no rule. Each command's module is imported when it is called."""

import importlib
from collections.abc import Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING

import click

from intake import __version__
from intake.errors import IntakeError

if TYPE_CHECKING:
    from intake.ledger import Ledger

COMMANDS = MappingProxyType(
    {
        "serve": "intake.app.command:serve",
        "sort": "intake.cli.sort:sort",
        "demo": "intake.cli.demo:demo",
        "mark": "intake.cli.mark:mark",
        "identify": "intake.cli.identify:identify",
        "bath": "intake.cli.bath:bath",
        "check": "intake.cli.check:check",
        "charge": "intake.cli.charge:charge",
        "compose": "intake.cli.compose:compose",
        "forecast": "intake.cli.forecast:forecast",
        "worth": "intake.cli.worth:worth",
        "cautions": "intake.cli.cautions:cautions",
        "labels": "intake.cli.labels:labels",
        "scan": "intake.cli.scan:scan",
        "colour": "intake.cli.colour:colour",
        "report": "intake.cli.report:report",
        "card": "intake.cli.card:card",
        "export": "intake.cli.export:export",
        "import": "intake.cli.import_:import_",
        "bins": "intake.cli.bins:bins",
        "shred": "intake.cli.shred:shred",
        "regroup": "intake.cli.regroup:regroup",
        "split": "intake.cli.split:split",
        "relabel": "intake.cli.relabel:relabel",
        "merge-bins": "intake.cli.merge_bins:merge_bins",
        "lots": "intake.cli.lots:lots",
        "float": "intake.cli.float_:float_",
        "melt-test": "intake.cli.melt_test:melt_test",
        "draw": "intake.cli.draw:draw",
        "write-off": "intake.cli.write_off:write_off",
        "part": "intake.cli.part:part",
        "spot": "intake.cli.spot:spot",
        "undo": "intake.cli.undo:undo",
        "history": "intake.cli.history:history",
        "verify": "intake.cli.verify:verify",
        "backup": "intake.cli.backup:backup",
        "restore": "intake.cli.backup:restore",
        "merge": "intake.cli.merge:merge",
        "sync": "intake.cli.sync:sync",
    }
)
"""Command name → where its function stands."""


class LazyGroup(click.Group):
    """A group that imports a command only when it is wanted, so that `--help` stays quick."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All command names, in the order a person meets them."""
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        """The command called `name`; None where there is none."""
        del ctx
        if name not in COMMANDS:
            return None
        module, _, attribute = COMMANDS[name].partition(":")
        command: click.Command = getattr(importlib.import_module(module), attribute)
        return command


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="intake")
def cli() -> None:
    """From a bag of mixed used plastic to labelled bins of shred that will melt together."""


def main(args: Sequence[str] | None = None) -> None:
    """Run a command; anything the program can explain becomes one sentence on stderr and an exit code."""
    _listen()
    try:
        cli.main(args=list(args) if args is not None else None, standalone_mode=False)
    except IntakeError as error:
        click.echo(str(error), err=True)
        raise SystemExit(error.exit_code) from None
    except click.exceptions.Abort:
        click.echo("Stopped. Nothing more was done.", err=True)
        raise SystemExit(1) from None
    except click.ClickException as error:
        error.show()
        raise SystemExit(error.exit_code) from None
    except click.exceptions.Exit as error:
        raise SystemExit(error.exit_code) from None


def _listen() -> None:
    """Whatever ledger a command opens: what a person should hear of it goes to stderr."""
    from intake.desk.hearing import HEARER

    def tell(ledger: "Ledger") -> None:
        from intake.desk.opening import opening_notes
        from intake.handbook.locate import resources
        from intake.words import catalogue

        for note in opening_notes(ledger, catalogue(resources() / "words")):
            click.echo(note, err=True)

    HEARER.set(tell)
