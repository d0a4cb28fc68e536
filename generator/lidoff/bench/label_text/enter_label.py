"""The fields of a rating label -> the record, with everything else in its file left as it is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import yaml

from lidoff.bench.label_text.record_form import NAMELESS, RecordForm
from lidoff.record.edit import EditError, inserted, replaced
from lidoff.record.load import load_text

_AS_TEXT = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
PLACEHOLDER = "<connector>"


class RefusedLabel(Exception):
    """The label can't go into the record: found, expected and fix."""

    def __init__(self, found: str, expected: str, fix: str) -> None:
        super().__init__(f"found     {found}\nexpected  {expected}\nfix       {fix}")


@dataclass(slots=True)
class _Entry:
    """The record's text on the way, and the fields that were added."""

    content: bytes
    path: str
    fields: list[str] = field(default_factory=list)

    def put(self, place: str, value: object, held: object) -> None:
        """Put a value where none is; one that says the same is left, another is not overwritten."""
        if held is not None and held != PLACEHOLDER:
            if held == _texts(value):
                return
            fix = "correct one of the two, or take the field out of the record and try again"
            raise RefusedLabel(f"another {place} in {self.path}", "what the label says, or nothing", fix)
        change = inserted if held is None else replaced
        try:
            self.content = change(self.content, place, value)
        except EditError as error:
            raise RefusedLabel(str(error), "a place for the label", "write it into the record by hand") from error
        self.fields.append(place)


def entered(content: bytes, path: str, form: RecordForm, port: str | None = None) -> tuple[bytes, tuple[str, ...]]:
    """The record with the label's fields, and where they stand; raises RefusedLabel and then changes nothing.

    ``port`` names the port of outputs for which the label names none.
    """
    try:
        data = yaml.load(content.decode("utf-8-sig"), _AS_TEXT)
    except (UnicodeDecodeError, yaml.YAMLError) as error:
        fix = f"run lidoff check {path} and mend what it finds"
        raise RefusedLabel(f"{path}, which is no YAML", "a record that can be read", fix) from error
    if not isinstance(data, Mapping):
        raise RefusedLabel(f"{path} without keys", "a record", "start with lidoff new BRAND MODEL")
    entry = _Entry(content, path)
    held = data.get("label")
    if isinstance(held, Mapping):
        for key, value in form.label.items():
            entry.put(f"label.{key}", value, held.get(key))
    else:
        entry.put("label", form.label, held)
    named = [{**one, "id": port if port and one["id"] == NAMELESS else one["id"]} for one in form.ports]
    _put_ports(entry, named, data)
    if form.port_sharing:
        sharing = data.get("port_sharing") or []
        entry.put("port_sharing", form.port_sharing, sharing or None)
    _refuse_new_errors(content, entry)
    return entry.content, tuple(entry.fields)


def _put_ports(entry: _Entry, named: Sequence[Mapping[str, object]], data: Mapping) -> None:
    ports = data.get("ports") or []
    places = {port.get("id"): place for place, port in enumerate(ports) if isinstance(port, Mapping)}
    fresh = []
    for port in named:
        if port["id"] == NAMELESS:
            fix = "name it with --port, such as --port C1"
            raise RefusedLabel("outputs without the name of a port", "the port of each output", fix)
        if port["id"] not in places:
            fresh.append(port)
            continue
        place = places[port["id"]]
        for key, value in port.items():
            entry.put(f"ports[{place}].{key}", value, ports[place].get(key))
    if fresh:
        try:
            entry.content = inserted(entry.content, "ports", fresh)
        except EditError as error:
            raise RefusedLabel(str(error), "a place for the ports", "write them into the record by hand") from error
        entry.fields += [f"ports[{len(ports) + number}]" for number in range(len(fresh))]


def _refuse_new_errors(before: bytes, entry: _Entry) -> None:
    known = {(one.rule, one.field) for one in load_text(before, entry.path).findings}
    after = load_text(entry.content, entry.path).findings
    fresh = [one for one in after if (one.rule, one.field) not in known and one.severity == "error"]
    stand_in = [one for one in fresh if one.rule != "record-missing-key"]
    if stand_in:
        first = stand_in[0]
        raise RefusedLabel(f"{first.field}: {first.found}", first.expected, first.fix)


def _texts(value: object) -> object:
    """A value as a reader that takes everything for text sees it."""
    if isinstance(value, Mapping):
        return {key: _texts(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [_texts(one) for one in value]
    return str(value)
