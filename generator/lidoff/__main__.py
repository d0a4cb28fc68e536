"""`python -m lidoff` and the installed `lidoff` run the same command line."""

import os
import sys
import traceback

import click

OWN_FAULT = 3


def main() -> None:
    """Run the command line; an unforeseen exception is our own fault and ends with code 3, with its traceback."""
    from lidoff.cli import main as group

    try:
        group.main(prog_name="lidoff")
    except BrokenPipeError:
        # the reader of the pipe has gone; the flush at exit would fail again
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except Exception:
        traceback.print_exc()
        click.echo("\nThis is a fault of Lidoff, not of your record. Please report it with the lines above.", err=True)
        sys.exit(OWN_FAULT)


if __name__ == "__main__":
    main()
