"""Refusal of arguments that no circuit can have."""

from math import inf


def require_positive(**arguments: float) -> None:
    """Refuse the first argument that is not a finite number above 0."""
    for name, value in arguments.items():
        if not 0 < value < inf:
            raise ValueError(f"{name}: found {value}, expected a finite number above 0")


def require_not_negative(**arguments: float) -> None:
    """Refuse the first argument that is not a finite number of 0 or more."""
    for name, value in arguments.items():
        if not 0 <= value < inf:
            raise ValueError(f"{name}: found {value}, expected a finite number of 0 or more")


def require_share(**arguments: float) -> None:
    """Refuse the first argument that is not above 0 and at most 1."""
    for name, value in arguments.items():
        if not 0 < value <= 1:
            raise ValueError(f"{name}: found {value}, expected a number above 0 and up to 1")
