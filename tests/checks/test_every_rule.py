"""Every check of a record or of the collection: what it says, word for word, and where it has to stay silent.

One file a rule, ``cases/<rule id>.yaml``, is a list of cases:

- what: 15 V stands before 9 V        # the case in a few words
  base: sound-65                      # a record of bases/ that no check has anything to say about; sound-65 if left out
  change:                             # fields set anew; null takes a field away, one past the end of a list appends
    ports[0].advertised[0].words: ["0x0801912C", "0x0004B12C", "0x0002D12C"]
  files: [photos/board-top.jpg]       # companions of the record; those of the base if left out
  logs: {logs/phone.csv: "t,v,i"}     # logs beside the record with their text, or bytes as a list; none is read if left out
  pictures: {photos/board-top.jpg: {form: png}}     # pictures beside the record, see picture_content; none is read if left out
  other_protocols: {Gallop Charge: [Gallop 33W]}    # the list of the knowledge base, with aliases; empty if left out
  others: [{base: sound-65, change: {product.model: FH-66}}]     # further records of the collection
  rests_on: [[9.0, 15.0]]             # the inputs of each notice, by which an answer lapses; not looked at if left out
  says: |                             # the notices of this rule alone; `says: nothing` makes the case a near miss
    ports[0].advertised[0].words[2] warning
      found     ...
      expected  ...
      fix       ...

Where a notice names further fields, a line ``also`` follows, and a line ``see`` for lines of other files; a notice of a collection check starts with its record.
To write a case, leave ``says: ""`` and copy what the failing test shows, once you have read it as a stranger would.
Each rule needs a bad case and a near miss: a record as close to the bad one as can be, which the rule passes over.
"""

import copy
import json
import re
from collections.abc import Mapping
from functools import cache
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

import msgspec
import numpy as np
import pytest
import yaml
from PIL import Image

from lidoff.bench.logs import Logs
from lidoff.bench.pictures import Pictures, read_pictures
from lidoff.checks import COLLECTION_CHECKS, RECORD_CHECKS
from lidoff.checks.check import HELD_FIGURES, CollectionCheck, Gist, HeldFigures, Notice, RecordCheck, Subject
from lidoff.figures.assumptions import read_assumptions
from lidoff.figures.derive import derive
from lidoff.figures.logs_beside import logs_beside
from lidoff.record.gist import record_gist
from lidoff.record.identity import product_path
from lidoff.record.load import load_text
from lidoff.record.model import Record
from lidoff.record.other_protocols import OtherProtocols
from lidoff.rule import Rule
from lidoff.settings import DEFAULT_TIERS_W

HERE = Path(__file__).parent
CHECKS: dict[str, RecordCheck | CollectionCheck] = {
    check.rule.id: check for check in (*RECORD_CHECKS, *COLLECTION_CHECKS)
}
BASES = sorted(path.stem for path in (HERE / "bases").glob("*.yaml"))
NOTHING = "nothing"
STOPS_THE_BUILD = {"duplicate-name", "former-path-taken", "log-readable", "missing-file", "unknown-reference"}
STOPS_THE_BUILD |= {f"picture-{rule}" for rule in ("ending", "metadata", "name", "readable", "size", "twice")}


class NoDates(yaml.SafeLoader):
    """Reads a date as the text that it is in a record."""

    yaml_implicit_resolvers = {
        letter: [(tag, pattern) for tag, pattern in known if not tag.endswith(":timestamp")]
        for letter, known in yaml.SafeLoader.yaml_implicit_resolvers.items()
    }


def plain_data(path: Path) -> dict | list:
    return yaml.load(path.read_text(encoding="utf-8"), NoDates)


def cases_of(rule_id: str) -> list[dict]:
    """The cases of a rule; empty where it has no file."""
    path = HERE / "cases" / f"{rule_id}.yaml"
    return plain_data(path) if path.exists() else []


ALL_CASES = [
    pytest.param(rule_id, case, id=f"{rule_id}: {case['what']}") for rule_id in CHECKS for case in cases_of(rule_id)
]


@cache
def base_content(name: str) -> dict:
    """A record of ``bases/`` as plain data; never changed, only copied."""
    return plain_data(HERE / "bases" / f"{name}.yaml")


def changed(content: Mapping, changes: Mapping[str, object]) -> dict:
    """The content with fields such as ``components[0].ratings.voltage_v`` set anew; None takes a field away."""
    content = copy.deepcopy(dict(content))
    for field, value in copy.deepcopy(dict(changes)).items():  # cases share values by YAML's anchors
        steps = [int(step) if step.isdigit() else step for step in re.findall(r"[^.\[\]]+", field)]
        holder = content
        for step in steps[:-1]:
            holder = holder[step] if isinstance(holder, list) else holder.setdefault(step, {})
        if value is None:
            del holder[steps[-1]]
        elif isinstance(holder, list) and steps[-1] == len(holder):
            holder.append(value)
        else:
            holder[steps[-1]] = value
    return content


def subject_of(case: Mapping) -> Subject:
    """The record of a case as a check sees it, read through the schema."""
    content = changed(base_content(case.get("base", "sound-65")), case.get("change", {}))
    slug = product_path(content["product"]["brand"], content["product"]["model"])
    path = f"entries/{slug}/record.yaml"
    loaded = load_text(json.dumps(content, ensure_ascii=False), path)
    assert loaded.record is not None, f"the case is no valid record: {loaded.findings}"
    files = frozenset(case["files"]) if "files" in case else frozenset(named_files(content))
    logs = logs_of(case, loaded.record)
    figures = derive(loaded.record, read_assumptions({}), logs)
    protocols = OtherProtocols({name: tuple(aliases) for name, aliases in case.get("other_protocols", {}).items()})
    pictures = pictures_of(case, loaded.record)
    return Subject(path, slug, loaded.record, figures, files, DEFAULT_TIERS_W, protocols, logs, pictures)


def logs_of(case: Mapping, record: Record) -> Logs:
    """What the logs of a case say, read from a folder as any other."""
    with TemporaryDirectory() as folder:
        for name, content in case.get("logs", {}).items():
            path = Path(folder, name)
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(content.encode() if isinstance(content, str) else bytes(content))
        return logs_beside(Path(folder), record, read_assumptions({}))


def pictures_of(case: Mapping, record: Record) -> Pictures:
    """What the pictures of a case are, read from a folder as any other."""
    with TemporaryDirectory() as folder:
        for name, kind in case.get("pictures", {}).items():
            path = Path(folder, name)
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(picture_content(**kind))
        return read_pictures(Path(folder), record, case.get("pictures", {}))


@cache
def picture_content(
    form: str = "jpeg", size: str = "96x72", seed: int = 1, bright: float = 1.0, tells: str = "", frames: int = 1,
    text: str = "", kept: float = 1.0,
) -> bytes:  # fmt: skip
    """The file of a picture of coloured boxes, the same for the same seed, or a text; ``kept`` is the share not cut off."""
    if text or not kept:
        return text.encode()
    width, height = map(int, size.split("x"))
    rows = np.random.default_rng(seed).integers(0, 200, (6, 8, 3)) * bright
    image = Image.fromarray(rows.astype(np.uint8)).resize((width, height), Image.Resampling.NEAREST)
    exif = Image.Exif()
    if "position" in tells:
        exif[0x8825] = {1: "N", 2: (48.0, 51.0, 30.0), 3: "E", 4: (2.0, 17.0, 40.0)}
    if "serial" in tells:
        exif[0x8769] = {0xA431: "0012345"}
    further = [image.rotate(180 / number) for number in range(1, frames)]
    stream = BytesIO()
    image.save(stream, form, exif=exif, **({"save_all": True, "append_images": further} if further else {}))
    return stream.getvalue()[: int(stream.tell() * kept)]


def named_files(content: object) -> set[str]:
    """The files that a record names."""
    if isinstance(content, list):
        return set().union(*(named_files(item) for item in content))
    if not isinstance(content, dict):
        return set()
    own = {value for key, value in content.items() if key in ("file", "log", "photo") and isinstance(value, str)}
    return own.union(*(named_files(value) for value in content.values()))


def gist_of(subject: Subject) -> Gist:
    """A record as a check of the collection sees it."""
    held = HeldFigures(tuple(figure for figure in subject.figures if figure.id in HELD_FIGURES))
    record = record_gist(msgspec.msgpack.encode(subject.record))
    return Gist(subject.path, subject.slug, record, held, subject.tiers_w, subject.pictures)


def notices_of(rule_id: str, case: Mapping) -> list[tuple[str, Notice]]:
    """The notices of a rule for a case, each with the path of its record where the check sees the collection."""
    check = CHECKS[rule_id]
    subject = subject_of(case)
    if isinstance(check, RecordCheck):
        return [("", notice) for notice in check.run(subject)]
    others = (subject_of(other) for other in case.get("others", ()))
    return list(check.run([gist_of(one) for one in (subject, *others)]))


def as_text(rule: Rule, path: str, notice: Notice) -> str:
    lines = [
        f"{path + ' ' if path else ''}{notice.field} {notice.severity or rule.severity}",
        f"  found     {notice.found}",
        f"  expected  {notice.expected}",
        f"  fix       {notice.fix}",
    ]
    also = ", ".join(" ".join(part for part in pair if part) for pair in notice.related)
    see = ", ".join(f"{place.path}:{place.line}" for place in notice.places)
    lines += [f"  also      {also}"] if also else []
    return "\n".join(lines + ([f"  see       {see}"] if see else [])) + "\n"


@pytest.mark.parametrize(("rule_id", "case"), ALL_CASES)
def test_the_check_says_what_the_case_expects(rule_id: str, case: dict) -> None:
    found = notices_of(rule_id, case)
    text = "".join(as_text(CHECKS[rule_id].rule, path, notice) for path, notice in found)
    assert text == ("" if case["says"] == NOTHING else case["says"] or "(left to be written)")
    assert "rests_on" not in case or [list(notice.inputs) for _, notice in found] == case["rests_on"]
    for _, notice in found:
        assert all(place.column == 1 for place in notice.places), "a line of a file begins with column 1"
        assert (notice.severity or CHECKS[rule_id].rule.severity) != "warning" or notice.inputs, (
            "a warning names no inputs"
        )


@pytest.mark.parametrize("rule_id", CHECKS)
def test_every_rule_has_a_bad_case_and_a_near_miss(rule_id: str) -> None:
    says = [case["says"] for case in cases_of(rule_id)]
    assert any(text != NOTHING for text in says), f"cases/{rule_id}.yaml needs a bad case"
    assert NOTHING in says, f"cases/{rule_id}.yaml needs a near miss"


def test_every_file_of_cases_is_of_a_rule() -> None:
    assert {path.stem for path in (HERE / "cases").glob("*.yaml")} == set(CHECKS)


@pytest.mark.parametrize("name", BASES)
def test_no_check_has_anything_to_say_about_a_sound_record(name: str) -> None:
    """Not even a note."""
    said = [
        as_text(check.rule, *found) for check in CHECKS.values() for found in notices_of(check.rule.id, {"base": name})
    ]
    assert said == []


@pytest.mark.parametrize("rule_id", CHECKS)
def test_a_rule_is_complete_and_called_after_its_module(rule_id: str) -> None:
    check = CHECKS[rule_id]
    rule = check.rule
    assert check.run.__module__.rsplit(".", 1)[-1].replace("_", "-") == rule.id
    assert rule.scope == ("record" if isinstance(check, RecordCheck) else "collection")
    assert (rule.severity == "error") == (rule.id in STOPS_THE_BUILD)
    assert all(text.strip() for text in (rule.title, rule.why, rule.source))
    assert not rule.title.endswith(".") and rule.why.endswith(".")
    # a formula is LaTeX as a whole or a sentence: a page sets one as mathematics, the other as text
    signs = re.search(r"\\[a-zA-Z]|[\^_]\{", rule.formula or "")
    assert not signs or not re.search(r"(?<![\\{a-z])[a-z]{3,} [a-z]{2,}", rule.formula)


def test_no_two_rules_share_an_id_or_a_title() -> None:
    rules = [check.rule for check in (*RECORD_CHECKS, *COLLECTION_CHECKS)]
    assert len({rule.id for rule in rules}) == len({rule.title for rule in rules}) == len(rules)


@pytest.mark.parametrize(("rule_id", "case"), ALL_CASES)
def test_notices_are_plain_english(rule_id: str, case: dict) -> None:
    """Words of YAML and of the trade, none of Python's, and short enough for one line of a terminal or two."""
    for _, notice in notices_of(rule_id, case):
        for text in (notice.found, notice.expected, notice.fix):
            assert text == text.strip() and 0 < len(text) <= 200
            assert not re.search(r"\b(None|True|False|nan|inf)\b|[{}]|\(\)|e[-+]\d\d|\d\.\d{5}|\.$", text), text
