"""How the collection is cited: from the settings and the records alone, so that the same records give the same words."""

import json
from collections.abc import Iterable
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.settings import Settings


@dataclass(frozen=True, slots=True)
class About:
    """What is said of the whole: its name, address and author, the newest day in the records, the licences of their texts."""

    site_name: str
    site_url: str
    author: str
    newest: str | None
    licences: tuple[str, ...]


def about(entries: Iterable[Entry], settings: Settings) -> About:
    """What is said of a collection; drafts say nothing."""
    records = [entry.sketch for entry in entries if not entry.is_draft]
    days = [record.teardown.date for record in records if record.teardown]
    days += [correction.date for record in records for correction in record.corrections]
    licences = {record.teardown.text_license for record in records if record.teardown and record.teardown.text_license}
    return About(
        site_name=settings.site_name,
        site_url=settings.site_url,
        author=settings.site_author or f"Contributors to {settings.site_name}",
        newest=max(days, default=None),
        licences=tuple(sorted(licences)),
    )


def citation_line(of: About) -> str:
    """The collection as a reference."""
    day = f" State of {of.newest}." if of.newest else ""
    return f"{of.author}: {of.site_name}, a collection of opened mains chargers.{day} {of.site_url}"


def product_citation(entry: Entry, settings: Settings) -> str:
    """The page of one product as a reference."""
    teardown, corrections = entry.record.teardown, entry.record.corrections
    by = f"{', '.join(teardown.by)}: " if teardown and teardown.by else ""
    opened = f", opened {teardown.date}" if teardown else ""
    corrected = f", last corrected {max(one.date for one in corrections)}" if corrections else ""
    return f"{by}{entry.title}. In: {settings.site_name}{opened}{corrected}. {settings.site_url}products/{entry.slug}/"


def citation_cff(of: About) -> str:
    """The collection as a CITATION.cff, Citation File Format 1.2.0 (S. Druskat and others, 2021).

    Every text is written as JSON, which YAML 1.2 reads as the same text.
    """
    fields: dict[str, object] = {
        "cff-version": "1.2.0",
        "message": "If you use these data, please cite them as below.",
        "type": "dataset",
        "title": of.site_name,
        "authors": [{"name": of.author}],
        "url": of.site_url,
    }
    if of.newest:
        fields["date-released"] = of.newest
    if of.licences:
        fields["license"] = of.licences[0] if len(of.licences) == 1 else list(of.licences)
    lines = (f"{name}: {json.dumps(value, ensure_ascii=False)}\n" for name, value in fields.items())
    return "".join(lines)
