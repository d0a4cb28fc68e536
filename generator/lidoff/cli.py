"""The command line: one group whose commands are loaded only when they are called."""

import importlib
import pkgutil

import click

from lidoff import __version__, commands

# a module that begins with an underscore serves the others
_MODULES = (module.name for module in pkgutil.iter_modules(commands.__path__) if not module.name.startswith("_"))
COMMANDS = tuple(sorted(name.replace("_", "-") for name in _MODULES))


class LazyGroup(click.Group):
    """A group that imports a command's module when that command is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        return importlib.import_module(f"lidoff.commands.{name.replace('-', '_')}").command


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="lidoff")
def main() -> None:
    """Checked records of opened mains USB chargers, and the website made from them."""
