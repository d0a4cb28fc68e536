"""Two points on the page -> the length between them in words, before anything is saved."""

from collections.abc import Mapping

from lidoff.bench.photo_lengths import NoLength, SeenLength, in_pixels, seen_length
from lidoff.engineering.photo_scale import pixel_distance
from lidoff.mark.marks import MarkReader, RefusedMarks
from lidoff.record.model.picture import Card, Photo, Scale
from lidoff.record.sections import Sections

NOTICEABLE_TILT = 0.01


def measured(sent: object, sections: Sections, sizes: Mapping[str, tuple[int, int]]) -> dict[str, object]:
    """The length between the two ``ends`` of what was sent; raises RefusedMarks for what can't be read."""
    if not isinstance(sent, Mapping) or sent.get("file") not in list(sizes):
        raise RefusedMarks(["found no picture whose size is known; expected one of the record"])
    reader, file = MarkReader(sections, sizes), sent["file"]
    ends = reader.points(sent.get("ends"), "ends", 2)
    scale = reader.optional(sent.get("scale"), lambda value: reader.scale(value, file))
    card = reader.optional(sent.get("card"), lambda value: reader.card(value, file))
    camera = reader.optional(sent.get("camera_mm"), lambda value: reader.number(value, "camera_mm", 0, 20_000))
    above = reader.optional(sent.get("above_mm"), lambda value: reader.number(value, "above_mm", -200.0001, 200))
    if reader.problems or ends is None:
        raise RefusedMarks(reader.problems)
    photo = Photo(
        file=file, kind="photo", alt="", camera_mm=camera,
        scale=Scale(_tuples(scale["points"]), scale["length_mm"], tuple(scale["picture_px"])) if scale else None,
        card=Card(_tuples(card["corners"]), tuple(card["picture_px"])) if card else None,
    )  # fmt: skip
    try:
        seen = seen_length(photo, _tuples(ends), above)
    except NoLength as reason:
        pixels = pixel_distance(*(in_pixels(end, sizes[file]) for end in ends))
        return {"text": f"{pixels:.0f} px", "notes": [f"No length in millimetres: {reason}."]}
    places = 1 if seen.expanded_mm >= 1 else 2
    text = f"{seen.length_mm:.{places}f} ± {seen.expanded_mm:.{places}f} mm"
    return {"text": text, "notes": list(_notes(seen, above, camera))}


def _notes(seen: SeenLength, above: float | None, camera: float | None) -> list[str]:
    placed = "each point within 1 pixel, which is Lidoff's own assumption; k = 2"
    notes = [f"By {seen.basis} in the picture ({placed})."]
    if seen.tilt is None:
        notes.append("A known length does not tell a tilt: the camera counts as looking squarely. A card does tell it.")
    elif seen.tilt.largest > NOTICEABLE_TILT:
        tilt = f"{100 * seen.tilt.largest:.1f} %"
        notes.append(
            f"The card's edges or axes disagree by {tilt}: the camera looked at a slant, or a corner is not where the "
            "edges would meet. In the plane of the card the length holds; above or below it, it is less sure."
        )
    if above and camera:
        notes.append(
            f"{above:g} mm out of the plane at {camera:g} mm is counted as an uncertainty of {100 * abs(above) / camera:.1f} %."
        )
    elif not seen.is_height_known:
        notes.append(
            "Both ends count as lying in that plane: h above it, seen from the distance D, makes it h/D too long."
        )
    return notes


def _tuples(points: list[list[float]]) -> tuple:
    return tuple((x, y) for x, y in points)
