"""What a number is about, from the words around it: which fields of the record it may come from."""

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Topic:
    """Words that say what is spoken of, what kinds of quantities they govern, and the fields that hold those."""

    cue: re.Pattern[str]
    measures: tuple[str, ...]
    fields: re.Pattern[str]


def _topic(cue: str, measures: str, fields: str) -> Topic:
    return Topic(re.compile(rf"\b(?:{cue})", re.IGNORECASE), tuple(measures.split(", ")), re.compile(fields))


TOPICS = (
    _topic("clearances?|through air|in air\\b", "length", r"clearance_mm"),
    _topic("creepage|along (?:the )?surfaces?|over (?:the )?surface", "length", r"creepage_mm"),
    _topic("board|pcb", "length", r"boards|in_photo|size_mm"),
    _topic("(?:bare )?assembly|without (?:its|the) case|out of (?:its|the) case", "length", r"assembly_mm"),
    _topic("wall thickness|walls? (?:is|are)", "length", r"wall_mm"),
    _topic("body|bank card|measures|edges|case measures|thick\\b|long\\b|wide\\b", "length", r"body_mm"),
    _topic(
        "mains|line voltage|from the (?:wall|socket)|input\\b|at the plug",
        "voltage",
        r"mains_v|label\.input|label\.printed|figure .*mains_v|bulk_valley|bulk_peak",
    ),
    _topic("rated\\b|rating", "voltage", r"ratings|label"),
    _topic("(?:each|per|a) (?:rated )?watt|watt of", "capacitance", r"bulk_uf_per_w"),
    _topic("bus\\b", "voltage", r"bus_v|intermediate_v|bulk_peak|bulk_valley"),
    _topic(
        "block|stress|drain|stand across|peak voltage",
        "voltage",
        r"switch_stress|rectifier_stress|waveforms|ratings",
    ),
    _topic("reflected", "voltage", r"reflected"),
    _topic("sags?|valley|between the crests", "voltage", r"bulk_valley|mains_v"),
    _topic("ripple|peak to peak|noise", "voltage", r"ripple|advertised|label$"),
    _topic("dips?\\b|undershoot|overshoot|load step", "voltage", r"load_step"),
    _topic("trips?\\b|over-?current", "current", r"protection|trip_a"),
    _topic("inrush|switch(?:ed|ing) on", "current", r"inrush|surge"),
    _topic("touch current|y capacitors?", "current", r"touch|y_touch"),
    _topic("mains\\b|input\\b|at the plug", "current", r"label\.input|label\.printed|mains_current"),
    _topic("tier|class\\b|knowledge base|others\\b|other units", "power", r"^tier"),
    _topic(
        "rated\\b|rating|nameplate|charger|adapter|total|promises",
        "power",
        r"rated_power|total_power|label\.printed|\.label$",
    ),
    _topic(
        "idle|no[- ]load|stand-?by|nothing (?:is )?(?:drawn|plugged|connected)|doing nothing|left alone",
        "power",
        r"no_load",
    ),
    _topic("los(?:s|es|t|ses)\\b|heat\\b|warmth", "power", r"loss|lost"),
    _topic(
        "held\\b|holds\\b|kept|sustain|long run|soak|endurance|full power|after .{0,30}(?:minutes|"
        "hours)|cut back|fell\\b|folds? back",
        "power",
        r"soak|sustained|rated_power",
    ),
    _topic("laptop|phone|tablet|drew\\b|real charge", "power", r"charge_peak|charging"),
    _topic(
        "offers?\\b|advertis|captur|messages?\\b|over the cable",
        "power",
        r"pd_power|advertised|\.label$|rated_power",
    ),
    _topic(
        "shar(?:e|es|ing)|together|split|both\\b|on each|at once|second device",
        "power",
        r"port_sharing|events|label\.printed",
    ),
    _topic("room|air\\b|ambient", "temperature", r"ambient_c"),
    _topic(
        "surface|case\\b|hottest|warmest|spot|hot\\b|shell|faces?\\b|wall\\b|end\\b|front\\b|went to|reached|rose to",
        "temperature",
        r"surface_c|temperature",
    ),
    _topic(
        "interrupt|dark|break\\b|cut off|loses? (?:its )?(?:supply|power)|without (?:supply|power)|"
        "drop(?:s|ped)? out",
        "time",
        r"events|interruption",
    ),
    _topic(
        "after|lasted|run\\b|ran\\b|for .{0,12}(?:minutes|hours)|minutes|hour",
        "time",
        r"soak|after_min|warm_up|foldback|temperature",
    ),
    _topic("bulk|energy store|store[sd]?\\b|reservoir", "capacitance", r"bulk_capacitance|components"),
    _topic("efficien|of (?:the|its) input|average|mean of", "share", r"efficiency"),
    _topic("margin|to spare|headroom", "share", r"margin"),
)  # fmt: skip


def fields_for(clause: str, before: str, sentence: str, measures: str) -> tuple[re.Pattern[str], ...]:
    """The fields that a quantity may come from: by its clause, else by its sentence if a topic stands ``before`` it."""
    in_clause = _fields(clause, measures)
    return in_clause or (_fields(sentence, measures) if _fields(before, measures) else ())


def _fields(text: str, measures: str) -> tuple[re.Pattern[str], ...]:
    return tuple(one.fields for one in TOPICS if measures in one.measures and one.cue.search(text))
