"""``lidoff start FOLDER``: an empty knowledge base of one's own."""

import sys
from pathlib import Path
from urllib.parse import urlsplit

import click

from lidoff.commands._ending import stop

WRONG_USAGE = 2
LONGEST_NAME = 60


@click.command()
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@click.option("--name", default="Opened chargers", show_default=True, help="What the site is called.")
@click.option("--url", default="https://example.org/", show_default=True, help="Where the site will stand.")
@click.option("--schema-only", is_flag=True, help="Only renew the copy of the schema in FOLDER that editors use.")
def command(folder: Path, name: str, url: str, schema_only: bool) -> None:
    """Write an empty knowledge base into FOLDER: settings, two pages, one invented sample, a workflow for a forge.

    FOLDER must be empty or not there yet.
    """
    from lidoff import __version__
    from lidoff.starter.write import NotEmpty, Start, write_base, write_schema

    if schema_only:
        if not (folder / "mkdocs.yml").is_file():
            stop(f"no mkdocs.yml in {folder}", "a knowledge base", "name its folder")
        click.echo("\n".join(write_schema(folder)))
        return
    if not name.strip() or len(name) > LONGEST_NAME or not name.isprintable():
        stop(f"--name {name!a}", f"1 to {LONGEST_NAME} visible characters", "shorten it")
    parts = urlsplit(url)
    if parts.scheme not in ("http", "https") or not parts.netloc or '"' in url:
        stop(f"--url {url}", "an address such as https://example.org/chargers/", "write it with https:// before it")
    try:
        files = write_base(folder, Start(name.strip(), url if url.endswith("/") else f"{url}/", __version__))
    except NotEmpty as fault:
        click.echo(str(fault), err=True)
        sys.exit(WRONG_USAGE)
    click.echo("\n".join(f"{folder.as_posix()}/{file}" for file in files))
    click.echo(f"\nNext: cd {folder.as_posix()}; lidoff new BRAND MODEL; lidoff check; lidoff site --serve")
