"""``lidoff decode WORD...``: what USB PD objects and messages say; and into the record with them."""

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click
import yaml

from lidoff.bench.pd_texts import TextFault, joined_texts, read_pd_texts
from lidoff.bench.pd_words import Facts
from lidoff.commands._ending import stop

if TYPE_CHECKING:
    from lidoff.bench.capture_entry import State
    from lidoff.bench.capture_text import CaptureReading

WRONG_RECORD, WRONG_USAGE = 1, 2
LARGEST_LOG = 5_000_000
STANDARD_INPUT = "-"
RECORD_NAME = "record.yaml"
_MOST_TOLD = 10


@click.command()
@click.argument("words", metavar="WORD...", nargs=-1)
@click.option("--from", "log", metavar="FILE", help="A log with objects or messages in it; - is standard input.")
@click.option("--into", type=click.Path(exists=True, path_type=Path), help="The record, or its folder, to write into.")
@click.option("--port", metavar="ID", help="The port that was captured, such as C1.")
@click.option("--alone", is_flag=True, help="Nothing else was plugged in.")
@click.option("--beside", metavar="IDS", help="The other ports in use, such as C2,A1.")
@click.option("--cable", metavar="WORD", help="direct, unmarked-3a, emarked-3a, emarked-5a, emarked-epr or captive.")
@click.option("--sample", metavar="ID", help="The sample that was captured.")
@click.option("--instrument", metavar="ID", help="The instrument that captured it.")
@click.option("--format", "form", type=click.Choice(["text", "json", "yaml"]), default="text", show_default=True)
def command(
    words: tuple[str, ...], log: str | None, into: Path | None, form: str, beside: str | None, **state: object
) -> None:
    """Decode USB PD source power data objects and messages.

    WORD is an object as a number, or a whole message as bytes in the order of the wire, with or without its checksum.
    With --from, or with - for WORD, a log is searched for them. With --into, the capabilities are written into the
    record of the port, in the state that the further options tell; nothing else in the file changes.

    \b
    lidoff decode 0x0801912C 0x0002D12C
    lidoff decode "a161 2c910108 2cd10200 2cc10300 2cb10400 45410600 3c21dcc0"
    lidoff decode --from analyser.log --into entries/fernhollow/fh-65 --port C1 --alone --cable emarked-5a --sample s1
    """
    if words == (STANDARD_INPUT,):
        words, log = (), STANDARD_INPUT
    _refuse_wrong_options(words, log, into, {**state, "beside": beside})
    reading = _read_log(log) if log else None
    facts = reading.facts if reading else _read_words(words)
    if into is not None:
        from lidoff.bench.capture_entry import State
        from lidoff.bench.capture_text import read_capture_text

        names = tuple(name.strip() for name in beside.split(",")) if beside else ()
        reading = reading or read_capture_text("\n".join(joined_texts(words)))
        _enter(into, State(beside=names, **{**state, "alone": state["alone"] or None}), reading)
    _print(facts, form)


def _print(facts: Sequence[Facts], form: str) -> None:
    if form == "json":
        click.echo(json.dumps(facts, indent=2, ensure_ascii=False))
    elif form == "yaml":
        click.echo(yaml.safe_dump(list(facts), sort_keys=False, allow_unicode=True), nl=False)
    else:
        click.echo("\n".join(facts_text(one) for one in facts))


def _read_words(words: Sequence[str]) -> tuple[Facts, ...]:
    reading = read_pd_texts(words)
    if reading.faults:
        click.echo("\n".join(fault_text(fault) for fault in reading.faults), err=True)
        sys.exit(WRONG_USAGE)
    return reading.facts


def _refuse_wrong_options(words: Sequence[str], log: str | None, into: Path | None, state: dict[str, object]) -> None:
    if not words and not log:
        raise click.UsageError("Missing argument 'WORD...', or --from with a log.")
    if words and log:
        raise click.UsageError("Give either WORD or --from, not both.")
    if into is None and any(state.values()):
        name = next(name for name, value in state.items() if value)
        raise click.UsageError(f"--{name} says what to write into a record: name the record with --into.")
    if into is not None and not state["port"]:
        raise click.UsageError("--into needs --port, the port that was captured.")


def _read_log(log: str) -> "CaptureReading":
    """The log read; stops where it can't be one, and tells what was passed over."""
    from lidoff.bench.capture_text import read_capture_text

    name = "standard input" if log == STANDARD_INPUT else log
    reading = read_capture_text(_text_of_log(log, name))
    for passed in reading.passed[:_MOST_TOLD]:
        click.echo(f"line {passed.line} passed over: {passed.reason}", err=True)
    if len(reading.passed) > _MOST_TOLD:
        click.echo(f"{len(reading.passed) - _MOST_TOLD} further lines passed over", err=True)
    if not reading.facts:
        fix = "give the objects as 0x and eight digits, or whole messages as bytes"
        stop(f"no USB PD object or message in {name}", "a log with objects or messages", fix)
    return reading


def _text_of_log(log: str, name: str) -> str:
    expected = f"a log as text, of up to {LARGEST_LOG:,} bytes"
    try:
        with sys.stdin.buffer if log == STANDARD_INPUT else open(log, "rb") as stream:
            content = stream.read(LARGEST_LOG + 1)
    except OSError as error:
        stop(f"{name}, which can't be read: {error.strerror}", expected, "correct the name of the file")
    if len(content) > LARGEST_LOG:
        stop(f"{name} with more than {LARGEST_LOG:,} bytes", expected, "give the part with the capabilities alone")
    if b"\0" in content:
        stop(f"{name}, which is no text", expected, "export the log as text")
    return content.decode("utf-8-sig", "replace")


def _enter(into: Path, state: "State", reading: "CaptureReading") -> None:
    """Write the capture into the record, or stop and leave it as it is."""
    from lidoff.bench.capture_entry import RefusedCapture, entered
    from lidoff.record.files import write_atomically
    from lidoff.reports.text import finding_text

    file = into / RECORD_NAME if into.is_dir() else into
    try:
        result = entered(file.read_bytes(), file.as_posix(), state, reading.capabilities)
    except OSError as error:
        stop(f"{file}, which can't be read: {error.strerror}", "a record", "name the record's file or its folder")
    except RefusedCapture as refusal:
        for finding in refusal.findings:
            click.echo(finding_text(finding), err=True)
        click.echo(str(refusal), err=True)
        sys.exit(WRONG_RECORD if refusal.findings else WRONG_USAGE)
    write_atomically(file.resolve(), result.content)
    click.echo(f"{file.as_posix()}: added {', '.join(result.fields)}", err=True)


def fault_text(fault: TextFault) -> str:
    """A fault for people: the text, then found, expected, fix."""
    lines = (f"  {name:<9} {getattr(fault, name)}" for name in ("found", "expected", "fix"))
    return "\n".join((f'error: "{fault.text}" is no USB PD object or message', *lines))


def facts_text(facts: Facts) -> str:
    """One line for people."""
    if facts["kind"] == "message":
        return message_text(facts)
    place = f"{facts['position']:>2}  " if "position" in facts else ""
    values = request_values(facts) if facts["kind"] == "request" else object_values(facts)
    return f"{place}{facts['word']}  {facts['kind']:<11}  {'; '.join(values)}".rstrip()


def object_values(facts: Facts) -> list[str]:
    """Numbers, flags that are set, and oddities of an object."""
    values = [numbers_text(facts)] if facts["kind"] not in ("reserved", "data-object") else []
    if facts["kind"] == "reserved":
        values.append("no edition defines this kind yet")
    values += flag_texts(facts)
    if "reserved_bits" in facts:
        values.append(f"reserved bits set: {facts['reserved_bits']}")
    return values


def request_values(facts: Facts) -> list[str]:
    """What a request asks for."""
    if facts["of"] is None:
        return ["to read its numbers, give the capabilities message before it"]
    return [f"{facts['of']}, {numbers_text(facts)}", *flag_texts(facts)]


def numbers_text(facts: Facts) -> str:
    """Voltages, currents and powers in one phrase."""
    if facts["kind"] == "spr-avs":
        upper = f", 15 to 20 V {facts['current_to_20v_a']} A" if facts["current_to_20v_a"] else ""
        return f"9 to 15 V {facts['current_to_15v_a']} A{upper}"
    numbers = []
    if "voltage_min_v" in facts:
        numbers.append(f"{facts['voltage_min_v']} to {facts['voltage_max_v']} V")
    for key, text in (
        ("voltage_v", "{} V"),
        ("current_a", "{} A"),
        ("current_max_a", "at most {} A"),
        ("power_w", "{} W"),
        ("power_max_w", "at most {} W"),
    ):
        if key in facts:
            numbers.append(text.format(facts[key]))
    return ", ".join(numbers)


def flag_texts(facts: Facts) -> list[str]:
    """Flags that are set, in words."""
    words = (key.split("_") for key, value in facts.items() if value is True)
    flags = [" ".join(word.upper() if word in ("usb", "epr") else word for word in flag) for flag in words]
    if facts.get("peak_current"):
        flags.append(f"peak current code {facts['peak_current']}")
    return flags


def message_text(facts: Facts) -> str:
    """Header and checksum of a message."""
    parts = [
        facts["message"] or f"type code {facts['type_code']}, no known name",
        f"id {facts['message_id']}",
        f"from the {facts['power_role']} ({str(facts['data_role']).upper()})",
        f"revision {facts['revision']}",
        f"{facts['objects']} object{'s' * (facts['objects'] != 1)}",
    ]
    if facts.get("chunked"):
        parts.append(f"chunk {facts['chunk_number']}{' asked for' if facts['request_chunk'] else ''}")
    if facts.get("complete") is False:
        parts.append(f"not complete, {facts['data_size']} bytes in all")
    if "checksum_ok" in facts:
        words = {True: "right", False: f"wrong, expected {facts['checksum_expected']}", None: "not given"}
        parts.append(f"checksum {words[facts['checksum_ok']]}")
    if facts.get("data") and not facts.get("complete"):
        parts.append(f"data {facts['data']}")
    return f"message {facts['word']}  {', '.join(map(str, parts))}"
