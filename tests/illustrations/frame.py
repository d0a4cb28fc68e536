"""What every picture shares: gradients, the mat below, the ruler at the edge, the word that says what it is."""

from art import box, group, line, shape, words
from mask import Finish

RULER = 7.0


def _gradient(name: str, stops: tuple[tuple[float, str, float], ...], **direction: object) -> str:
    inner = "".join(shape("stop", offset=at, stop_color=tint, stop_opacity=strength) for at, tint, strength in stops)
    return shape("linearGradient", inner, id=name, **direction)


def defs(finish: Finish | None = None) -> str:
    """Gradients and filters that the drawings name."""
    down = {"x1": 0, "y1": 0, "x2": 0, "y2": 1}
    slant = {"x1": 0, "y1": 0, "x2": 1, "y2": 1}
    pieces = (
        _gradient("bevel", ((0, "#fff", 0.26), (0.25, "#fff", 0.06), (0.7, "#000", 0.0), (1, "#000", 0.34)), **slant),
        _gradient("shell", ((0, "#fff", 0.2), (0.35, "#fff", 0.0), (0.6, "#000", 0.0), (1, "#000", 0.16)), **slant),
        _gradient("round", ((0, "#000", 0.3), (0.28, "#fff", 0.34), (0.55, "#fff", 0.0), (1, "#000", 0.5)), **down),
        _gradient("metal", ((0, "#e9ebee", 1), (0.4, "#c3c7cc", 1), (0.7, "#dcdfe3", 1), (1, "#9da2a9", 1)), **slant),
        _gradient("can", ((0, "#f0f1f3", 1), (0.5, "#cfd2d6", 1), (1, "#a9adb3", 1)), **slant),
        _gradient("dome", ((0, "#fff", 0.3), (0.4, "#fff", 0.0), (1, "#000", 0.4)), **down),
        _gradient("gloss", ((0, "#fff", 0.34), (0.3, "#fff", 0.0), (0.75, "#fff", 0.12), (1, "#000", 0.12)), **slant),
        _gradient("solder", ((0, "#f3f4f5", 1), (0.5, "#c4c8cc", 1), (1, "#969ba1", 1)), **slant),
        _gradient("sheen", ((0, "#fff", 0.1), (0.5, "#fff", 0.0), (1, "#000", 0.14)), **slant),
        _gradient("hole", ((0, "#000", 0.6), (0.5, "#000", 0.1), (1, "#000", 0.0)), x1=0, y1=0, x2=1, y2=0),
        _gradient("mat", ((0, "#e9e6df", 1), (1, "#d3cfc5", 1)), **slant),
        _gradient("steel", ((0, "#f4f5f6", 1), (1, "#cfd3d7", 1)), **down),
    )
    return shape("defs", "".join(pieces))


def mat(width: float, height: float) -> str:
    """The table below everything."""
    return box(0, 0, width, height + 1, "url(#mat)")


def ruler(left: float, top: float, length: float) -> str:
    """A steel ruler in millimetres, its zero at the board's left edge, true to the picture's scale."""
    whole = int(length)
    drawn = [box(left - 2, top + 0.4, whole + 4, 5.2, "url(#steel)", 0.4, stroke="#8a8f95", stroke_width=0.08)]
    for step in range(whole + 1):
        long = 2.4 if step % 10 == 0 else 1.7 if step % 5 == 0 else 1.0
        drawn.append(line(left + step, top + 0.4, left + step, top + 0.4 + long, "#26292d", 0.11))
        if step % 10 == 0 and step <= whole - 4:
            drawn.append(
                words(
                    left + step + (0.4 if step else 0.45),
                    top + 4.0,
                    f"{step}" if step else "0 mm",
                    1.5,
                    "#26292d",
                    text_anchor="start",
                )
            )
    return group("".join(drawn))


def signed(width: float, height: float, margin: float) -> str:
    """The word in the corner."""
    size = max(min(margin * 0.3, 1.9), 0.9)
    return words(
        width - margin * 0.35,
        margin * 0.42,
        "ILLUSTRATION",
        size,
        "#5b574e",
        text_anchor="end",
        letter_spacing=round(size * 0.12, 3),
    )
