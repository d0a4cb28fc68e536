"""Texts that thousands of records repeat, such as words of the vocabulary and part numbers, held once for all of them."""

import msgspec

from lidoff.record.sketch import PartSketch

_TEXTS = (str, tuple)
_OF_PARTS = tuple(name for name in PartSketch.__struct_fields__ if not name.startswith("packed_"))


class SharedTexts:
    """The texts met so far. It changes which of two equal texts is held, never what is said."""

    def __init__(self) -> None:
        self._known: dict[str | tuple, str | tuple] = {}

    def row(self, row: tuple) -> tuple:
        """The same row, with the texts that are known."""
        # numbers are left alone: 1, 1.0 and True are one key
        known = self._known.setdefault
        return tuple([known(value, value) if type(value) in _TEXTS else value for value in row])

    def part(self, part: object) -> None:
        """Let the sketch of a part hold the texts that are known; a whole part is left as it is."""
        if not isinstance(part, PartSketch):
            return
        for name in _OF_PARTS:
            value = getattr(part, name)
            if type(value) in _TEXTS:
                held = self._known.setdefault(value, value)
                if held is not value:
                    msgspec.structs.force_setattr(part, name, held)
