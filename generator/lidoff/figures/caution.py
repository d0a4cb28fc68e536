"""The short caution beside a record: what its capacitors can hold, how to treat them, and never a time to wait."""

from lidoff.figures.bus import with_role
from lidoff.figures.figure import Figures
from lidoff.figures.show import shown
from lidoff.record.model import Record

NO_PATH = "No discharge path recorded: treat as charged until proved dead."
DOUBTED_PATH = "A bleed resistor is recorded, but it may be broken: treat as charged until proved dead."
ALWAYS = (
    "The plug pins too: the X capacitor across them may hold its charge.",
    "Prove dead with a rated meter that was checked on a known source before and after.",
    "An isolation transformer feeds one unit only, and an RCD before it does not protect behind it. A meter connected "
    "to a PC and an earthed oscilloscope earth the output.",
    "Live work, high-voltage tests and X-rays are for trained people only. Local codes come first; leave mains work to "
    "licensed people where they ask for it.",
)


def caution(record: Record, figures: Figures, space: str = " ") -> tuple[str, ...]:
    """Sentences beside every opened unit, with computed energy and voltage; ``space`` parts number and unit."""
    path = DOUBTED_PATH if with_role(record, "bleed-resistor") else NO_PATH
    return ("Opened mains equipment: do not plug it in.", _energy(figures, space), path, *ALWAYS)


def _energy(figures: Figures, space: str) -> str:
    energies, peaks = figures.present("stored_energy_j"), figures.present("bulk_peak_v")
    largest = max(energies, key=lambda energy: energy.value, default=None)
    peak = shown(peaks[0], space).text if peaks else ""
    if largest is not None and peak:
        held = shown(largest, space).text
        return f"By computation its bulk capacitor can hold {held}, and its voltage reaches {peak}."
    if peak:
        return f"By computation its bulk capacitor reaches {peak}; how much energy it then holds is not recorded."
    return "How much energy its capacitors hold, and at what voltage, is not known from this record."
