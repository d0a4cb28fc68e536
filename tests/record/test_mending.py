"""Safe mends of a record's text: what they change, and that they change nothing else."""

import random
from pathlib import Path

import pytest
import yaml

from lidoff.record.load import load_text
from lidoff.record.mending.text import NotMended, mended
from lidoff.record.schema import record_shape

ENTRIES = sorted((Path(__file__).resolve().parents[2] / "entries").glob("*/*/record.yaml"))


def lines_of(text: str) -> tuple[str, list[str]]:
    content, mends = mended(text.encode())
    return content.decode(), [mend.what for mend in mends]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ('rated_power_w: "65"', "rated_power_w: 65"),
        ("rated_power_w: 65 W", "rated_power_w: 65"),
        ("rated_power_w: 65W", "rated_power_w: 65"),
        ("rated_power_w: 65 watts", "rated_power_w: 65"),
        ("rated_power_w: 67,5", "rated_power_w: 67.5"),
        ("rated_power_w: +65", "rated_power_w: 65"),
        ("rated_power_w: 6.5e1", "rated_power_w: 65"),
        ("kind: Wall Charger", "kind: wall-charger"),
        ("kind: WALL_CHARGER", "kind: wall-charger"),
    ],
)
def test_what_can_only_mean_one_thing_is_mended(before: str, after: str) -> None:
    text, done = lines_of(f"product:\n  {before}  # kept\n")
    assert text == f"product:\n  {after}  # kept\n"
    assert len(done) == 1 and " -> " in done[0]


@pytest.mark.parametrize(
    "line",
    [
        "rated_power_w: 65",
        "rated_power_w: 1,200",  # a thousand, or one and a fifth
        "rated_power_w: 0.065 kW",  # another unit: a person converts
        "rated_power_w: 65 V",
        "rated_power_w: about 65",
        "rated_power_w: 065",
        "rated_power_w: n/a",
        "kind: wall",
        'model: "65"',  # text that looks like a number is text
        "model: Yes",
    ],
)
def test_what_is_not_certain_is_left_alone(line: str) -> None:
    text = f"product:\n  {line}\n"
    assert lines_of(text) == (text, [])


def test_yes_and_no_become_true_and_false_only_where_a_flag_stands() -> None:
    text, _ = lines_of('demo: yes\nproduct:\n  model: "no"\n')
    assert text == 'demo: true\nproduct:\n  model: "no"\n'


def test_a_comment_moves_with_the_key_below_it() -> None:
    text, done = lines_of(
        "# head\nstatus: draft\n\n# about the product\n# in two lines\nproduct: {brand: A, model: B}\n"
        "# the form\nschema: 1  # one\n"
    )
    assert text == (
        "# head\n# the form\nschema: 1  # one\nstatus: draft\n\n"
        "# about the product\n# in two lines\nproduct: {brand: A, model: B}\n"
    )
    assert done == ["the record: keys put in the order of the schema"]


def test_the_dash_stays_before_the_first_key() -> None:
    text, _ = lines_of("ports:\n  - connector: usb-c  # c\n    id: C1\n  - id: C2\n    connector: usb-c\n")
    assert text == "ports:\n  - id: C1\n    connector: usb-c  # c\n  - id: C2\n    connector: usb-c\n"


@pytest.mark.parametrize(
    "content",
    [b"a: [1\n", b"\xff\xfe", b"product: {brand: A, brand: B}\n", b"schema: 1\r\nstatus: draft\n", b"a: 1\rb: 2\n"],
    ids=["no-yaml", "no-utf8", "key-twice", "mixed-line-ends", "old-line-ends"],
)
def test_a_file_that_no_machine_should_touch_is_refused(content: bytes) -> None:
    with pytest.raises(NotMended):
        mended(content)


def test_byte_order_mark_and_line_ends_stay() -> None:
    content, _ = mended(b'\xef\xbb\xbfschema: "1"\r\nstatus: draft\r\n')
    assert content == b"\xef\xbb\xbfschema: 1\r\nstatus: draft\r\n"


@pytest.mark.parametrize("file", ENTRIES, ids=lambda file: file.parent.name)
def test_every_record_of_the_demo_reads_the_same_after_it(file: Path) -> None:
    before = file.read_bytes()
    content, _ = mended(before)
    assert load_text(content, "x").record == load_text(before, "x").record
    assert mended(content) == (content, ()), "nothing is left to do"


@pytest.mark.parametrize("seed", range(12))
def test_keys_in_any_order_come_back_to_that_of_the_schema(seed: int) -> None:
    plain = yaml.safe_load((Path(__file__).parent / "sample.yaml").read_text(encoding="utf-8"))
    text = yaml.safe_dump(_shuffled(plain, random.Random(seed)), sort_keys=False, allow_unicode=True)
    in_order, mends = mended(text.encode())
    data = yaml.safe_load(in_order)
    assert data == plain and mends
    order = list(record_shape().keys)
    assert list(data) == sorted(data, key=order.index)
    parts = list(record_shape().keys["components"].items.keys)
    assert all(list(part) == sorted(part, key=parts.index) for part in data["components"])
    assert mended(in_order) == (in_order, ())


def _shuffled(value: object, chance: random.Random) -> object:
    """The same data with its keys in another order."""
    if isinstance(value, list):
        return [_shuffled(item, chance) for item in value]
    if not isinstance(value, dict):
        return value
    keys = list(value)
    chance.shuffle(keys)
    return {key: _shuffled(value[key], chance) for key in keys}
