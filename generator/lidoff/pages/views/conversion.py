"""The way of the power from the mains to the ports: what the reviewer concludes, and why."""

from collections.abc import Iterable
from dataclasses import dataclass

from lidoff.pages import addresses
from lidoff.pages.drawings.chain import Block, ChainDrawing, chain_drawing
from lidoff.pages.numbers import quantity
from lidoff.pages.views.parts_list import refs_with_roles
from lidoff.pages.vocabulary import definition, definitions, label
from lidoff.pages.wording import capital, listed, sentence
from lidoff.record.model.construction import Conversion, Evidence
from lidoff.record.model.record import Record

CLAIMS = ("pfc", "primary", "secondary", "per_port")
OPEN = "undetermined"
WITHOUT_STAGE = {("pfc", "none"), ("per_port", "none")}
FILTER_ROLES = (
    "fuse", "fusible-resistor", "thermal-cut-off", "varistor", "spark-gap", "inrush-thermistor", "x-capacitor",
    "common-mode-choke", "differential-mode-choke",
)  # fmt: skip
RECTIFIER_ROLES = ("bridge-rectifier",)
STORE_ROLES = ("bulk-capacitor", "low-line-bulk-capacitor")
# what a conclusion about the circuit rests on; a part has its own words for it
BASIS = {
    "printed-part-number": "part numbers printed on the parts",
    "printed-code": "codes printed on the parts",
    "pinout": "the connections on the board",
    "die-photo": "pictures of the dies",
    "circuit": "how the circuit is laid out",
    "measurement": "a measurement",
    "x-ray": "an X-ray picture",
    "brand-claim": "a claim of the brand",
}
STRENGTH_WORDS = {
    "certain": "No reasonable doubt",
    "likely": "Likely, but another reading is possible",
    "guess": "A guess",
}


@dataclass(frozen=True, slots=True)
class Statement:
    """One conclusion: what it is about, what is concluded, the definition of that word, and the reasons given."""

    subject: str
    conclusion: str
    meaning: str
    reasons: tuple[str, ...]
    href: str = ""


@dataclass(frozen=True, slots=True)
class ConversionView:
    """All conclusions with their reasons, and the drawing."""

    statements: tuple[Statement, ...]
    drawing: ChainDrawing | None
    sentences: tuple[str, ...]


def conversion_view(record: Record, root: str) -> ConversionView | None:
    """What is concluded on the conversion; None where nothing is."""
    conversion = record.conversion
    if conversion is None:
        return None
    statements = tuple(
        _statement(claim, conversion, root) for claim in CLAIMS if getattr(conversion, claim) is not None
    )
    sentences = []
    if conversion.bus_v is not None:
        sentences.append(f"The bus behind the boost stage runs at {quantity(conversion.bus_v, 'V')}.")
    if conversion.intermediate_v is not None:
        voltage = quantity(conversion.intermediate_v, "V")
        sentences.append(f"The bus that feeds the per-port converters runs at {voltage}.")
    return ConversionView(statements, chain_drawing(_blocks(record, conversion)), tuple(sentences))


def _statement(claim: str, conversion: Conversion, root: str) -> Statement:
    word = getattr(conversion, claim)
    reasons = tuple(reason(one) for one in conversion.evidence if one.claim == claim)
    return Statement(
        subject=label("claim", claim),
        conclusion="None" if word == "none" and claim == "pfc" else capital(label(claim, word)),
        meaning=_meaning(claim, word),
        reasons=reasons or ("The record gives no reason for this.",),
        href=root + addresses.topology(word) if claim == "primary" and word in definitions()["primary"] else "",
    )


def _meaning(claim: str, word: str) -> str:
    """The vocabulary's definition, where it says more than the label."""
    said = definition(claim, word)
    return "" if said in ("none", "not determined", label(claim, word)) else said


def reason(evidence: Evidence) -> str:
    """One piece of evidence in words.

    Examples
    --------
    >>> reason(Evidence(claim="primary", by="circuit", strength="likely", refs=("U1", "Q1")))
    'Likely, but another reading is possible; it rests on how the circuit is laid out (U1 and Q1).'
    """
    parts = f" ({listed(evidence.refs)})" if evidence.refs else ""
    strength = STRENGTH_WORDS.get(evidence.strength, evidence.strength)
    basis = BASIS.get(evidence.by, evidence.by)
    rests = "nothing is identified" if evidence.by == "unidentified" else f"it rests on {basis}"
    said = sentence(f"{strength}; {rests}{parts}")
    return f"{said} {sentence(evidence.note)}" if evidence.note else said


def strength_of(claim: str, evidence: Iterable[Evidence]) -> str:
    """How sure a conclusion is: its strongest evidence; empty where none is given."""
    given = [one.strength for one in evidence if one.claim == claim]
    return next((word for word in STRENGTH_WORDS if word in given), "")


def short_name(conversion: Conversion | None) -> str:
    """The conversion in a few words, for lists; empty where nothing is concluded."""
    if conversion is None:
        return ""
    pieces = []
    if conversion.pfc not in (None, "none", OPEN):
        pieces.append(label("pfc", conversion.pfc))
    if conversion.primary not in (None, OPEN):
        pieces.append(label("primary", conversion.primary))
    return ", then ".join(pieces)


def _blocks(record: Record, conversion: Conversion) -> tuple[Block, ...]:
    """The stages that the record shows, in the order in which power passes them."""
    blocks = [Block("Mains", label("plug_system", record.product.plug.system) if record.product.plug else "")]
    for name, roles in (("Protection and filter", FILTER_ROLES), ("Mains rectifier", RECTIFIER_ROLES)):
        refs = refs_with_roles(record.components, roles)
        if refs:
            blocks.append(Block(name, _few(refs), "certain"))
    blocks += _stage(conversion, "pfc")
    store = refs_with_roles(record.components, STORE_ROLES)
    if store:
        blocks.append(Block("Energy store", _few(store), "certain"))
    blocks += _stage(conversion, "primary", across=True)
    blocks += _stage(conversion, "secondary")
    blocks += _stage(conversion, "per_port")
    ports = listed(f"{port.id} {label('connector', port.connector)}" for port in record.ports[:4])
    more = f" and {len(record.ports) - 4} more" if len(record.ports) > 4 else ""
    return (*blocks, Block("Ports" if len(record.ports) > 1 else "Port", ports + more))


def _stage(conversion: Conversion, claim: str, across: bool = False) -> list[Block]:
    word = getattr(conversion, claim)
    if word is None or (claim, word) in WITHOUT_STAGE:
        return []
    strength = "open" if word == OPEN else strength_of(claim, conversion.evidence)
    return [Block(label("claim", claim), capital(label(claim, word)), strength, across)]


def _few(refs: tuple[str, ...], most: int = 6) -> str:
    return ", ".join(refs[:most]) + (f" and {len(refs) - most} more" if len(refs) > most else "")
