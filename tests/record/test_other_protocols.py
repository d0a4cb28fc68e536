"""The users' list of proprietary protocols: what it gives, and what is said of a list that is wrong."""

import os
from pathlib import Path

import pytest

from lidoff.record.collection import find_records
from lidoff.record.other_protocols import NO_OTHER_PROTOCOLS, load_other_protocols, read_other_protocols
from lidoff.reports import as_text

SOUND = """\
# Invented names.
other_protocols:
  - name: Gallop Charge
    aliases: [GallopCharge, Gallop 33W]
    note: Over the data pair.
  - {name: Slipstream Boost}
"""


def told(text: str) -> str:
    return as_text(read_other_protocols(text, "entries/other-protocols.yaml")[1], 1)


def test_every_name_and_alias_leads_to_the_name() -> None:
    protocols, findings = read_other_protocols(SOUND, "entries/other-protocols.yaml")
    assert findings == ()
    assert protocols.aliases == {"Gallop Charge": ("GallopCharge", "Gallop 33W"), "Slipstream Boost": ()}
    assert protocols.name_of["Gallop 33W"] == protocols.name_of["Gallop Charge"] == "Gallop Charge"
    assert "gallop charge" not in protocols.name_of


@pytest.mark.parametrize("text", ["", "# nothing yet\n", "other_protocols: []\n"])
def test_a_list_may_be_empty(text: str) -> None:
    assert read_other_protocols(text, "list.yaml") == (NO_OTHER_PROTOCOLS, ())


def test_a_base_may_have_no_list(tmp_path: Path) -> None:
    assert load_other_protocols(tmp_path / "entries", tmp_path) == (NO_OTHER_PROTOCOLS, ())


@pytest.mark.parametrize("kind", ["link", "pipe"])
def test_a_list_that_is_no_file_of_its_own_is_not_read(tmp_path: Path, kind: str) -> None:
    elsewhere, file = tmp_path / "secret", tmp_path / "entries" / "other-protocols.yaml"
    elsewhere.write_text("token: not for a message")
    file.parent.mkdir()
    file.symlink_to(elsewhere) if kind == "link" else os.mkfifo(file)
    assert load_other_protocols(file.parent, tmp_path) == (NO_OTHER_PROTOCOLS, ())
    told = [(one.rule, one.path) for one in find_records(file.parent, tmp_path)[1]]
    assert told == [("entry-link" if kind == "link" else "record-file", "entries/other-protocols.yaml")]


def test_a_list_is_read_from_the_entries(tmp_path: Path) -> None:
    (tmp_path / "entries").mkdir()
    (tmp_path / "entries" / "other-protocols.yaml").write_text(
        SOUND.replace("name: Gallop", "nam: Gallop"), encoding="utf-8"
    )
    protocols, (first, second) = load_other_protocols(tmp_path / "entries", tmp_path)
    assert list(protocols.aliases) == ["Slipstream Boost"]
    assert (first.rule, first.path, first.line, first.severity) == (
        "entry-protocols",
        "entries/other-protocols.yaml",
        3,
        "error",
    )
    assert {first.found, second.found} == {"the key nam", "no key name"}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            SOUND.replace("{name: Slipstream Boost}", "{name: Slipstream Boost, aliases: [Gallop 33W]}"),
            "entries/other-protocols.yaml:6:40: error[entry-protocols] other_protocols[1].aliases[0]\n"
            "  found     Gallop 33W, which other_protocols[0].aliases[1] has already\n"
            "  expected  each name and alias once\n"
            "  fix       merge the two protocols, or rename one\n",
        ),
        (
            SOUND.replace("other_protocols:", "protocols:"),
            "entries/other-protocols.yaml:2:1: error[entry-protocols] protocols\n"
            "  found     the key protocols\n"
            "  expected  the key other_protocols alone\n"
            "  fix       correct the key, or delete the line\n",
        ),
        (
            SOUND.replace("name: Gallop Charge", "name: 33"),
            "entries/other-protocols.yaml:3:11: error[record-text] other_protocols[0].name\n"
            "  found     33 without quotes, which YAML may read as a number\n"
            "  expected  text of up to 60 characters\n"
            '  fix       put quotes round it: name: "33"\n',
        ),
        (
            "- name: Gallop Charge\n",
            "entries/other-protocols.yaml:1:1: error[record-structure]\n"
            "  found     a list of 1 item\n"
            "  expected  a mapping with the keys other_protocols\n",
        ),
    ],
    ids=["an alias twice", "another key", "a number", "a list alone"],
)
def test_what_is_wrong_is_told(text: str, expected: str) -> None:
    assert expected in told(text)


def test_a_broken_list_is_told_and_breaks_nothing() -> None:
    protocols, findings = read_other_protocols("other_protocols: [{name: Gallop Charge", "list.yaml")
    assert protocols == NO_OTHER_PROTOCOLS
    assert [finding.rule for finding in findings] == ["record-syntax"]
