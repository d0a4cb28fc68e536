"""How commands end where they can't go on: what was found, what was expected, how to mend it."""

import sys
from typing import NoReturn

import click

WRONG_USAGE = 2


def stop(found: str, expected: str, fix: str, status: int = WRONG_USAGE) -> NoReturn:
    """Say why the command ends, and end it."""
    click.echo(f"found     {found}\nexpected  {expected}\nfix       {fix}", err=True)
    sys.exit(status)
