"""The list of other protocols, as a check and a running preview read it."""

from pathlib import Path

from lidoff.live import LiveCollection
from lidoff.pipeline import check, prepare
from lidoff.settings import Settings, read_settings

LIST = "other_protocols: [{name: Gallop Charge, aliases: [Gallop 33W]}]\n"


def settings_with(base: Path, name: str, listed: str) -> Settings:
    """A knowledge base whose record names one proprietary protocol, beside a list."""
    record = base / "entries" / "fernhollow" / "fh-65" / "record.yaml"
    text = record.read_text(encoding="utf-8")
    assert "other_protocols: []" in text
    record.write_text(text.replace("other_protocols: []", f"other_protocols: [{name}]", 1), encoding="utf-8")
    (base / "entries" / "other-protocols.yaml").write_text(listed, encoding="utf-8")
    return read_settings(base / "mkdocs.yml")


def told(findings: tuple, rule: str) -> list[tuple[str, str]]:
    return [(finding.severity, finding.found) for finding in findings if finding.rule == rule]


def test_a_check_reads_the_list(knowledge_base: Path) -> None:
    settings = settings_with(knowledge_base, "Galop Charge", LIST)
    assert told(check(settings).findings, "known-protocol") == [("warning", "Galop Charge")]


def test_a_fault_of_the_list_is_told_once_and_fails_the_check(knowledge_base: Path) -> None:
    settings = settings_with(knowledge_base, "Gallop Charge", LIST.replace("aliases", "alias"))
    result = check(settings)
    assert told(result.findings, "entry-protocols") == [("error", "the key alias")]
    assert result.failed


def test_an_edited_list_is_seen_by_a_running_preview(knowledge_base: Path) -> None:
    settings = settings_with(knowledge_base, "Gallop 33W", "other_protocols: []\n")
    live = LiveCollection(prepare(settings, with_drafts=True))
    assert told(live.collection.findings, "known-protocol") == [("note", "Gallop 33W")]
    assert live.refresh() == frozenset()
    (knowledge_base / "entries" / "other-protocols.yaml").write_text(LIST, encoding="utf-8")
    assert live.refresh() == {"/products/fernhollow/fh-65/"}
    assert told(live.collection.findings, "known-protocol") == [("note", "Gallop 33W, an alias of Gallop Charge")]
    (knowledge_base / "entries" / "other-protocols.yaml").write_text("- " + LIST, encoding="utf-8")
    live.refresh()
    assert told(live.collection.findings, "record-structure")
    (knowledge_base / "entries" / "other-protocols.yaml").write_text(LIST, encoding="utf-8")
    live.refresh()
    assert not told(live.collection.findings, "record-structure")
