"""How a field of a record is written: ``ports[0].label[1].voltage_max_v``."""

import json
import re
from collections.abc import Iterable

Step = str | int
Trail = tuple[Step, ...]

_PLAIN_KEY = re.compile(r"[A-Za-z0-9_-]+")
_STEP = re.compile(r'\[(\d+)\]|\["((?:[^"\\]|\\.)*)"\]|\.?([A-Za-z0-9_-]+)')


def written(trail: Iterable[Step]) -> str:
    """A trail of keys and list positions as one field; keys of other signs stand in brackets and quotes."""
    text = ""
    for step in trail:
        if isinstance(step, int):
            text += f"[{step}]"
        elif _PLAIN_KEY.fullmatch(step):
            text += f".{step}" if text else step
        else:
            text += f"[{json.dumps(step, ensure_ascii=not step.isprintable())}]"
    return text


def steps(field: str) -> Trail:
    """The trail that a written field stands for; raises ValueError when it is not written like one."""
    trail: list[Step] = []
    position = 0
    while position < len(field):
        match = _STEP.match(field, position)
        if match is None:
            raise ValueError(f"not a field: {field!r}")
        index, quoted, key = match.groups()
        trail.append(int(index) if index is not None else json.loads(f'"{quoted}"') if quoted is not None else key)
        position = match.end()
    return tuple(trail)
