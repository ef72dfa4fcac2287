"""How the command line speaks: JSON for programs, a short table for people."""

import json
import sys
from collections.abc import Iterable
from typing import Any

import click
from rich.console import Console

from intake.table.compat.cautions import Caution, Level
from intake.words import Words


def print_json(value: Any) -> None:
    """One JSON document on standard output, nothing else beside it; NaN and infinity are never written."""
    click.echo(json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False))


def console() -> Console:
    """A console on standard output; without colour where the output is no terminal."""
    return Console(file=sys.stdout, highlight=False, soft_wrap=False)


def mind_line(cautions: Iterable[Caution], words: Words) -> str:
    """What to mind before the act that a place leads to: titles, without what is only good to know."""
    titles = [words(f"caution.{c.id}.title") for c in cautions if c.level is not Level.INFO]
    return words("cautions.before", titles=" · ".join(titles))
