"""``lidoff decode WORD...``: what USB PD objects and messages say."""

import json
import sys

import click
import yaml

from lidoff.bench.pd_texts import TextFault, read_pd_texts
from lidoff.bench.pd_words import Facts


@click.command()
@click.argument("words", metavar="WORD...", nargs=-1, required=True)
@click.option("--format", "form", type=click.Choice(["text", "json", "yaml"]), default="text", show_default=True)
def command(words: tuple[str, ...], form: str) -> None:
    """Decode USB PD source power data objects and messages.

    WORD is an object as a number, or a whole message as bytes in the order of the wire, with or without its checksum.

    \b
    lidoff decode 0x0801912C 0x0002D12C
    lidoff decode "a161 2c910108 2cd10200 2cc10300 2cb10400 45410600 3c21dcc0"
    """
    reading = read_pd_texts(words)
    if reading.faults:
        click.echo("\n".join(fault_text(fault) for fault in reading.faults), err=True)
        sys.exit(2)
    if form == "json":
        click.echo(json.dumps(reading.facts, indent=2, ensure_ascii=False))
    elif form == "yaml":
        click.echo(yaml.safe_dump(list(reading.facts), sort_keys=False, allow_unicode=True), nl=False)
    else:
        click.echo("\n".join(facts_text(facts) for facts in reading.facts))


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
