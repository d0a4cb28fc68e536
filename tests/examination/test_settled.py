"""What one build holds of the records: all that pages ask for, and no more of what they were made of."""

from dataclasses import replace
from pathlib import Path

from lidoff.pipeline import prepare
from lidoff.settings import read_settings


def test_a_settled_collection_answers_as_before_and_holds_no_sources(knowledge_base: Path) -> None:
    prepared = prepare(read_settings(knowledge_base / "mkdocs.yml"))
    settled = prepared.settled()
    assert settled.collection.examined == ()
    assert len(settled.shown) == 1 and settled.shown == prepared.shown
    assert settled.findings == prepared.findings
    assert (settled.newest, settled.stops_a_build) == (prepared.newest, prepared.stops_a_build)


def test_drafts_are_still_left_out_of_the_findings(knowledge_base: Path) -> None:
    record = knowledge_base / "entries" / "fernhollow" / "fh-65" / "record.yaml"
    record.write_text(record.read_text(encoding="utf-8").replace("status: published", "status: draft"), "utf-8")
    prepared = prepare(read_settings(knowledge_base / "mkdocs.yml"))
    settled = prepared.settled()
    assert settled.shown == () and settled.findings == () == prepared.findings
    assert replace(settled, with_drafts=True).shown == replace(prepared, with_drafts=True).shown != ()
