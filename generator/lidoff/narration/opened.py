"""The entry that a command is about, with all others beside it."""

from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path

from lidoff.entry import Entry
from lidoff.pipeline import examine_all
from lidoff.settings import Settings, SettingsError, find_config, read_settings

RECORD_NAME = "record.yaml"


class NotFound(Exception):
    """No such entry; the text says what was found, what was expected and how to mend it."""


@dataclass(frozen=True, slots=True)
class Opened:
    """One entry of a knowledge base among all that can be read."""

    entry: Entry
    entries: tuple[Entry, ...]
    settings: Settings


def open_entry(named: str, config: Path | None) -> Opened:
    """The entry named by brand/model or by the path of its record or folder."""
    entries, settings = _entries(named, config)
    return Opened(_one(named, entries, settings), entries, settings)


def open_pair(named: str, other: str, config: Path | None) -> tuple[Opened, Entry]:
    """An entry and a second one of the same knowledge base."""
    entries, settings = _entries(named, config)
    return Opened(_one(named, entries, settings), entries, settings), _one(other, entries, settings)


def _entries(named: str, config: Path | None) -> tuple[tuple[Entry, ...], Settings]:
    path = Path(named)
    start = (path if path.is_dir() else path.parent) if path.exists() else Path.cwd()
    try:
        settings = read_settings(config or find_config(start))
    except SettingsError as fault:
        raise NotFound(str(fault)) from fault
    return examine_all(settings).entries, settings


def _one(named: str, entries: tuple[Entry, ...], settings: Settings) -> Entry:
    wanted = Path(named)
    file = (wanted / RECORD_NAME if wanted.is_dir() else wanted).resolve()
    for entry in entries:
        if entry.slug == named.strip("/") or (settings.base / entry.path).resolve() == file:
            return entry
    near = get_close_matches(named, [entry.slug for entry in entries], n=1, cutoff=0.5)
    hint = f"did you mean {near[0]}?" if near else "name one as brand/model, or by the path of its folder"
    raise NotFound(
        f"found     no readable record {named} in {settings.entries_folder}\n"
        f"expected  one of its {len(entries)} readable records\n"
        f"fix       {hint}; `lidoff check` says what can't be read"
    )
