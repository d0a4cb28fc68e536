"""The mkdocs plugin ``lidoff``: it lets mkdocs draw the frame and the few pages of the navigation, and stamps all others."""

import dataclasses
import datetime
import os
import shutil
import tempfile
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from typing import Literal
from urllib.parse import quote, urljoin

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, PluginError
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger

from lidoff.finding import has_error
from lidoff.publish import atomic
from lidoff.publish.notice import finding_line, finding_text
from lidoff.publish.requirements import Unfit, require
from lidoff.publish.session import Session
from lidoff.publish.shell import Addressing, ShellError
from lidoff.publish.source import Source
from lidoff.settings import Settings, SettingsError, checked_options, read_settings

log = get_plugin_logger("lidoff")
