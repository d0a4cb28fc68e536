"""The settings of a knowledge base: what mkdocs.yml says to Lidoff, read without mkdocs."""

import difflib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import yaml

DEFAULT_TIERS_W = (20, 33, 45, 67, 100, 140, 240)
OPTIONS = ("entries", "tiers_w", "tables", "assumptions", "preview_port", "picture_cache")
GENERAL = ("site_name", "site_url", "site_author", "repo_url", "edit_uri")
CONFIG_NAME = "mkdocs.yml"
WORKSHOP = ".lidoff"
"""The folder beside mkdocs.yml in which sites are made and results are kept."""


class SettingsError(Exception):
    """The settings can't be used; the text says what was found, what was expected and how to mend it."""


@dataclass(frozen=True, slots=True)
class Settings:
    """One knowledge base. ``base`` is the folder of mkdocs.yml; every path that people see is relative to it."""

    config_path: Path
    site_name: str = "Lidoff"
    site_url: str = ""
    site_author: str = ""
    repo_url: str = ""
    edit_uri: str = ""
    entries: str = "entries"
    tiers_w: tuple[float, ...] = DEFAULT_TIERS_W
    tables: Mapping[str, Mapping] = field(default_factory=dict)
    assumptions: Mapping[str, float] = field(default_factory=dict)
    preview_port: int = 8017
    picture_cache: str = ""

    @property
    def base(self) -> Path:
        """The folder of mkdocs.yml."""
        return self.config_path.parent

    @property
    def entries_folder(self) -> Path:
        """The folder that holds the records."""
        return self.base / self.entries


class _Loader(yaml.SafeLoader):
    """Reads mkdocs.yml without running the tags that only mkdocs understands."""


_Loader.add_multi_constructor("!", lambda loader, suffix, node: None)
_Loader.add_multi_constructor("tag:yaml.org,2002:python/", lambda loader, suffix, node: None)


def find_config(start: Path) -> Path:
    """The nearest mkdocs.yml in ``start`` or above it; raises SettingsError where there is none."""
    folder = start.resolve()
    for candidate in (folder, *folder.parents):
        if (candidate / CONFIG_NAME).is_file():
            return candidate / CONFIG_NAME
    raise SettingsError(
        f"found     no {CONFIG_NAME} in {folder} or above it\n"
        f"expected  the {CONFIG_NAME} of a knowledge base\n"
        f"fix       run the command inside the knowledge base, or name the file with --config"
    )


def read_settings(config_path: Path) -> Settings:
    """Read mkdocs.yml; raises SettingsError when it can't be read or an option is wrong."""
    content = read_content(config_path)
    general = {name: str(content.get(name) or "") for name in GENERAL}
    if general["site_url"]:
        general["site_url"] = f"{general['site_url'].rstrip('/')}/"
    return Settings(config_path=config_path.resolve(), **general, **checked_options(plugin_options(content)))


def read_content(config_path: Path) -> dict:
    """mkdocs.yml as plain data; raises SettingsError when it can't be read."""
    try:
        content = yaml.load(config_path.read_text(encoding="utf-8"), Loader=_Loader)
    except (OSError, UnicodeDecodeError, yaml.YAMLError) as fault:
        raise SettingsError(
            f"found     {config_path} can't be read: {fault}\nexpected  a mkdocs.yml in YAML"
        ) from fault
    if not isinstance(content, dict):
        raise SettingsError(
            f"found     {config_path} holds no settings\nexpected  a mapping with site_name and plugins"
        )
    return content


def plugin_options(content: Mapping) -> dict:
    """The options that mkdocs.yml gives to the plugin ``lidoff``; empty where there are none."""
    plugins = content.get("plugins") or []
    if isinstance(plugins, dict):
        plugins = [{name: options} for name, options in plugins.items()]
    for plugin in plugins:
        if isinstance(plugin, dict) and "lidoff" in plugin:
            return dict(plugin["lidoff"] or {})
    return {}


def checked_options(options: Mapping) -> dict:
    """The plugin's options in the form of Settings; raises SettingsError for the first wrong one."""
    for name in options:
        if name not in OPTIONS:
            near = difflib.get_close_matches(str(name), OPTIONS, n=1)
            hint = f"rename it to {near[0]}" if near else f"use one of {', '.join(OPTIONS)}"
            raise SettingsError(
                f"found     option {name} of the plugin lidoff\nexpected  a known option\nfix       {hint}"
            )
    checked = {name: value for name, value in options.items() if value is not None}
    if "tiers_w" in checked:
        checked["tiers_w"] = _tiers(checked["tiers_w"])
    if "assumptions" in checked:
        checked["assumptions"] = _assumptions(checked["assumptions"])
    if "tables" in checked and not isinstance(checked["tables"], dict):
        raise SettingsError(_wrong("tables", checked["tables"], "a mapping of table name to its definition"))
    if "entries" in checked and not _is_inner_path(checked["entries"]):
        raise SettingsError(_wrong("entries", checked["entries"], "a folder below mkdocs.yml, such as entries"))
    if "preview_port" in checked and not _is_port(checked["preview_port"]):
        raise SettingsError(_wrong("preview_port", checked["preview_port"], "a whole number from 1024 to 65535"))
    if "picture_cache" in checked and not _is_text(checked["picture_cache"]):
        raise SettingsError(_wrong("picture_cache", checked["picture_cache"], "a folder, or a URL such as s3://a/b"))
    return checked


def _tiers(value: object) -> tuple[float, ...]:
    """Tier limits in watts, as a rising tuple."""
    numbers = value if isinstance(value, list) else []
    good = bool(numbers) and all(_is_number(limit) and limit > 0 for limit in numbers)
    if not good or sorted(set(numbers)) != numbers:
        raise SettingsError(_wrong("tiers_w", value, "a rising list of watts, such as [20, 33, 45]"))
    return tuple(numbers)


def _assumptions(value: object) -> dict[str, float]:
    """Values that replace the default assumptions, by id."""
    if not isinstance(value, dict) or not all(_is_number(number) for number in value.values()):
        raise SettingsError(
            _wrong("assumptions", value, "a mapping of assumption to number, such as bridge_drop_v: 0.9")
        )
    return {str(name): float(number) for name, number in value.items()}


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _is_text(value: object) -> bool:
    return isinstance(value, str) and value.strip() != ""


def _is_port(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 1024 <= value <= 65535


def _is_inner_path(value: object) -> bool:
    return isinstance(value, str) and value != "" and not Path(value).is_absolute() and ".." not in Path(value).parts


def _wrong(option: str, found: object, expected: str) -> str:
    return f"found     {option}: {found!r}\nexpected  {expected}\nfix       correct plugins: - lidoff: {option}: in mkdocs.yml"
