"""Texts held once for many records: which object holds them changes, what they say does not."""

from dataclasses import fields, is_dataclass

from lidoff.figures.assumptions import read_assumptions
from lidoff.figures.derive import derive
from lidoff.record.load import load_text
from lidoff.record.sharing import SharedTexts


def texts(item: object) -> list[str]:
    """Every text of a dataclass, wherever in it; those of mappings apart."""
    if isinstance(item, str):
        return [item]
    if isinstance(item, tuple):
        return [text for one in item for text in texts(one)]
    return [text for one in fields(item) for text in texts(getattr(item, one.name))] if is_dataclass(item) else []


def test_two_readings_of_a_record_share_every_text_and_stay_as_they_were(sample_text: str) -> None:
    first, second, third = (load_text(sample_text, "record.yaml").record for _ in range(3))
    known = SharedTexts()
    known.share(first)
    known.share(second)
    assert first == second == third
    one, other = texts(first), texts(second)
    assert len(one) > 200 and all(a is b for a, b in zip(one, other, strict=True) if len(a) > 1)


def test_figures_share_their_methods(sample_text: str) -> None:
    record = load_text(sample_text, "record.yaml").record
    first, second = derive(record, read_assumptions()), derive(record, read_assumptions())
    known = SharedTexts()
    known.share(first)
    known.share(second)
    assert first == second == derive(record, read_assumptions())
    for name in ("id", "unit", "method", "source"):
        assert all(getattr(one, name) is getattr(other, name) for one, other in zip(first, second, strict=True))
