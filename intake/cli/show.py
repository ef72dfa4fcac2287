"""How the command line speaks: JSON for programs, a short table for people."""

import json
import sys
from typing import Any

import click
from rich.console import Console


def print_json(value: Any) -> None:
    """One JSON document on standard output, nothing else beside it; NaN and infinity are never written."""
    click.echo(json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False))


def console() -> Console:
    """A console on standard output; without colour where the output is no terminal."""
    return Console(file=sys.stdout, highlight=False, soft_wrap=False)
