"""The mkdocs plugin ``lidoff``: mkdocs draws the frames and the few pages of the navigation, all others are stamped."""

import dataclasses
import datetime
import logging
import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from urllib.parse import urljoin

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as BuilderPage
from mkdocs.utils.templates import TemplateContext

from lidoff.cache.shared_place import Unreachable
from lidoff.crew.here import HERE, Crew
from lidoff.finding import Finding, has_error
from lidoff.publish import atomic, mkdocs_files
from lidoff.publish.notice import notice
from lidoff.publish.old_addresses import Published
from lidoff.publish.picture_cache import picture_cache
from lidoff.publish.pictures import PictureMaker, PictureProgress
from lidoff.publish.pieces import LastSite
from lidoff.publish.requirements import Unfit, require
from lidoff.publish.session import NOT_FOUND, Session
from lidoff.publish.shell import Addressing, ShellError
from lidoff.publish.source import Source
from lidoff.reports.text import finding_text
from lidoff.settings import WORKSHOP, Settings, SettingsError, checked_options, read_settings

log = get_plugin_logger("lidoff")
MADE = f"{WORKSHOP}/cache/made.json"
HELD_UP = "These errors keep records from being published. The pages leave those records out until they are mended."


def prepared(settings: Settings, is_preview: bool) -> Source:
    """The records of this knowledge base, checked; a preview has its drafts too."""
    # imported late: `mkdocs --help` and a build that is given its source need none of the stages
    from lidoff.pipeline import prepare

    return prepare(settings, with_drafts=is_preview)


class LidoffPlugin(BasePlugin):
    """Checks in on_config, builds in a staging folder, publishes in on_shutdown if nothing failed.

    ``source_of``, ``progress``, ``picture_progress``, ``with_notice``, ``with_pictures``, ``frames_only``, ``previous``,
    ``crew`` and ``tell`` are set by whoever drives a build; mkdocs alone uses the defaults.
    """

    def __init__(self) -> None:
        self.source_of: Callable[[Settings, bool], Source] = prepared
        self.progress: Callable[[int], None] = lambda written: None
        self.picture_progress: PictureProgress = lambda done, total: None
        self.with_notice = True
        self.with_pictures = True
        self.frames_only = False
        self.previous = Published()
        self.crew: Crew = HERE
        self.tell: Callable[[str], None] = log.info
        self.session: Session | None = None
        self._command = "build"
        self._held = ExitStack()
        self._placement: atomic.Placement | None = None
        self._entries = Path()
        self._is_complete = False

    def load_config(self, options: dict, config_file_path: str | None = None) -> tuple[list, list]:
        """Check the options the way every other command does."""
        try:
            checked_options(options)
        except SettingsError as fault:
            return [("", fault)], []
        return [], []

    def on_startup(self, *, command: str, dirty: bool) -> None:
        self._command = command

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        self._held.close()
        self._is_complete, self._placement = False, None
        try:
            settings = _settings(config)
            require(config, settings.entries_folder)
            is_preview = self._command == "serve" or _is_mkdocs_own(config.site_dir)
            source = self.source_of(settings, is_preview)
            self._report(source.findings, is_preview)
            if not is_preview:
                self._stage(config, settings)
            pictures = self._pictures(settings, is_preview)
        except (Unfit, SettingsError, Unreachable, atomic.Refused) as fault:
            raise Abort(str(fault)) from fault
        self._held.enter_context(_build_date(source.newest))
        if config.strict:
            self._held.enter_context(_counted_warnings())
        self._entries = settings.entries_folder
        shown = notice(source.findings, HELD_UP) if is_preview and self.with_notice else ""
        styles = mkdocs_files.theme_styles(config.theme.dirs)
        is_real = not is_preview
        website = source.website()
        self.session = Session(
            website,
            _addressing(config),
            styles,
            shown,
            is_real,
            is_real,
            pictures,
            self.progress,
            self._last(settings),
            self.previous,
            frames_only=self.frames_only,
        )
        _set_theme(config, website.assets)
        return config

    def _pictures(self, settings: Settings, is_preview: bool) -> PictureMaker | None:
        if not self.with_pictures:
            return None
        return PictureMaker(picture_cache(settings), self.picture_progress, is_preview, self.crew, self.tell)

    def _last(self, settings: Settings) -> LastSite | None:
        """The site that is about to be replaced; a preview replaces none."""
        if self._placement is None:
            return None
        return LastSite(self._placement.target, settings.base / MADE).read()

    def _report(self, findings: tuple[Finding, ...], is_preview: bool) -> None:
        """Show the findings. Warnings and notes are the records' own affair, so a strict build must not count them."""
        for finding in findings:
            if finding.severity == "error":
                log.error(finding_text(finding))
            else:
                log.info(finding_text(finding).partition("\n")[0])
        if has_error(findings) and not is_preview:
            raise Abort("The records have errors: nothing was published, the last good site is as it was.")

    def _stage(self, config: MkDocsConfig, settings: Settings) -> None:
        """Let mkdocs, which empties site_dir before it reads a page, build in a folder of its own."""
        target = config.site_dir
        self._placement = self._held.enter_context(atomic.placement(Path(target), settings.base / WORKSHOP))
        config.site_dir = str(self._placement.built)
        self._held.callback(config.__setitem__, "site_dir", target)

    @event_priority(-50)
    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        with _faults_as_build_errors():
            self.session.add_files(files, config)
        return files

    def on_page_content(self, html: str, *, page: BuilderPage, config: MkDocsConfig, files: Files) -> str:
        return self.session.content_of(html, page)

    def on_page_context(
        self, context: TemplateContext, *, page: BuilderPage, config: MkDocsConfig, nav: Navigation
    ) -> dict:
        return context | {"frame": self.session.context_of(page, nav)}

    def on_template_context(self, context: TemplateContext, *, template_name: str, config: MkDocsConfig) -> dict:
        return context | {"frame": self.session.context_of_not_found(context["nav"])}

    def on_post_template(self, output: str, *, template_name: str, config: MkDocsConfig) -> str:
        with _faults_as_build_errors():
            return self.session.finish_page(output, "", None) if template_name == NOT_FOUND else output

    @event_priority(-50)
    def on_post_page(self, output: str, *, page: BuilderPage, config: MkDocsConfig) -> str:
        with _faults_as_build_errors():
            return self.session.finish_page(output, page.content, page)

    @event_priority(-50)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        with _faults_as_build_errors():
            faults = self.session.write_rest(Path(config.site_dir))
        for fault in faults:
            log.warning(fault)
        for path in (*config.extra_css, *config.extra_javascript):
            if ":" not in str(path) and not Path(config.site_dir, str(path)).is_file():
                log.warning(f"every page loads {path}, but the site has no such file")
        self._is_complete = True

    def on_build_error(self, *, error: Exception) -> None:
        self._is_complete = False

    def on_serve(self, server: LiveReloadServer, *, config: MkDocsConfig, builder: Callable) -> None:
        server.watch(str(self._entries))

    def on_shutdown(self) -> None:
        with self._held:
            if self._is_complete and self._placement is not None:
                self._publish(self._placement)

    def _publish(self, place: atomic.Placement) -> None:
        try:
            place.publish()
        except atomic.Refused as fault:
            raise Abort(str(fault)) from fault
        if self.session is not None and self.session.last is not None:
            self.session.last.write(self.session.written)
        how = "in one step" if place.is_atomic else "by two renames, between which there was no site for an instant"
        log.info(f"Site put in place at {place.target} {how}")


def _is_mkdocs_own(site_dir: str) -> bool:
    """Whether this is the folder that ``mkdocs serve`` makes for itself; with ``--clean`` it says that it builds."""
    folder = Path(site_dir)
    return folder.name.startswith("mkdocs_") and folder.parent == Path(tempfile.gettempdir())


def _settings(config: MkDocsConfig) -> Settings:
    """The settings as mkdocs has resolved them: it knows of options of its command line and of the environment."""
    if not config.config_file_path:
        raise Unfit("found     settings without a file\nexpected  a mkdocs.yml\nfix       name it with --config-file")
    settings = read_settings(Path(config.config_file_path))
    resolved = {name: config[name] or "" for name in ("site_name", "site_url", "repo_url", "edit_uri")}
    return dataclasses.replace(settings, **resolved)


def _addressing(config: MkDocsConfig) -> Addressing:
    """mkdocs' edit_uri leads to docs_dir, our source files are named from the folder of mkdocs.yml."""
    if not config.edit_uri:
        return Addressing(config.site_name, config.site_url)
    way = Path(os.path.relpath(Path(config.config_file_path).parent, config.docs_dir)).as_posix()
    repository = f"{config.repo_url.rstrip('/')}/" if config.repo_url else ""
    return Addressing(config.site_name, config.site_url, urljoin(repository, f"{config.edit_uri}{way}/"))


def _set_theme(config: MkDocsConfig, assets: str) -> None:
    """Our templates come before the theme's, but after those of a base of one's own; the sitemap is ours."""
    config.theme.dirs.insert(1 if config.theme.custom_dir else 0, str(mkdocs_files.THEME))
    config.theme.static_templates.discard("sitemap.xml")
    config.extra_css.append(f"{assets}/lidoff.css")
    config.extra_javascript.append(f"{assets}/lidoff.js")


@contextmanager
def _build_date(newest: datetime.date | None) -> Iterator[None]:
    """Give tools that want a build date that of the newest record, unless the user has set one."""
    name = "SOURCE_DATE_EPOCH"
    if newest is None or name in os.environ:
        yield
        return
    midnight = datetime.datetime.combine(newest, datetime.time(), datetime.UTC)
    os.environ[name] = str(int(midnight.timestamp()))
    try:
        yield
    finally:
        os.environ.pop(name, None)


@contextmanager
def _counted_warnings() -> Iterator[None]:
    """A strict build counts the warnings that are logged, so that --quiet would let every one of them pass."""
    logger = logging.getLogger("mkdocs")
    level = logger.level
    logger.setLevel(min(logger.getEffectiveLevel(), logging.WARNING))
    try:
        yield
    finally:
        logger.setLevel(level)


@contextmanager
def _faults_as_build_errors() -> Iterator[None]:
    """mkdocs shows its own kind of error without a traceback."""
    try:
        yield
    except ShellError as fault:
        raise PluginError(str(fault)) from fault
