"""The rating-label reader: printed input and output lines -> the record's structure, and what was not understood."""

from lidoff.bench.label_text.read import LONGEST_LABEL, read_label
from lidoff.bench.label_text.reading import Combination, LabelReading, PortReading, Span

__all__ = ["LONGEST_LABEL", "Combination", "LabelReading", "PortReading", "Span", "read_label"]
