"""Kind of product, plug system and the way the plug is attached do not contradict each other."""

from collections.abc import Iterator
from itertools import chain, islice

from lidoff.checks.amounts import recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.finding import Severity
from lidoff.record.model.product import Plug
from lidoff.rule import Rule

RULE = Rule(
    id="plug-consistency",
    title="Kind of product, plug and the way it is attached go together",
    severity="warning",
    scope="record",
    why=(
        "An appliance inlet takes a cord and is not moulded to blades; a wall charger hangs from its plug, so it has "
        "no cord in between; a desktop charger has one. Two are notes: an inlet whose system is that of the cord's "
        "plug, and a plug or inlet of 2.5 A on a product whose label asks for more. The label's current is that at "
        "its lowest voltage, and the plug may be one for regions of 230 V; in North America the same inlets are rated "
        "higher."
    ),
    source=(
        "The definitions of Lidoff's vocabulary; 2.5 A of EN 50075 (CEE 7/16) and of IEC 60320-1, C6 and C8 (from "
        "memory)"
    ),
)

LIMITED_TO_2_5_A = frozenset({"cee-7-16", "iec-60320-c6", "iec-60320-c8"})
LIMIT_A = 2.5
INLET = "iec-60320-"
HARD_WIRED = "hard-wired"
ATTACHED = frozenset({"fixed", "folding"})
BY_CORD = frozenset({"captive-cord", "inlet"})


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for contradictions of kind, system, mechanism and input current."""
    product = subject.record.product
    if product.plug is None:
        return
    yield from islice(chain(_mechanism(product.plug), _kind(product.kind, product.plug)), 1)
    entry = subject.record.label.input if subject.record.label is not None else None
    current = entry.current_a if entry is not None else None
    if current is not None and current > LIMIT_A and product.plug.system in LIMITED_TO_2_5_A:
        yield Notice(
            field="product.plug.system",
            found=f"{product.plug.system}, for {LIMIT_A} A, and an input of {recorded(current, 'A')} on the label",
            expected=f"a plug or inlet for at least {recorded(current, 'A')}",
            fix="look at plug and label again; leave it where the plug is for 230 V only",
            severity="note",
            related=(("", "label.input.current_a"),),
            inputs=(product.plug.system, current),
        )


def _mechanism(plug: Plug) -> Iterator[Notice]:
    is_inlet = plug.system.startswith(INLET)
    if is_inlet and plug.mechanism in ATTACHED | {"captive-cord"}:
        yield _notice(f"{plug.system} is an appliance inlet, and the mechanism is {plug.mechanism}", "mechanism: inlet")
    elif plug.system == HARD_WIRED and plug.mechanism in ATTACHED | {"inlet"}:
        yield _notice(f"{HARD_WIRED}, and the mechanism is {plug.mechanism}", "no mechanism with fixed wiring")
    elif plug.mechanism == "inlet" and not is_inlet and plug.system != "interchangeable":
        yield _notice(f"an inlet, and as system {plug.system}, the plug of a cord", "the inlet's own system", "note")


def _kind(kind: str, plug: Plug) -> Iterator[Notice]:
    if kind == "wall-charger" and plug.mechanism in BY_CORD:
        yield _notice(f"a wall-charger with {plug.mechanism}", "a plug on the body of a wall-charger")
    elif kind == "desktop-charger" and plug.mechanism in ATTACHED:
        yield _notice(f"a desktop-charger with a {plug.mechanism} plug", "a mains cord on a desktop-charger")
    elif kind in ("wall-charger", "desktop-charger") and plug.system == HARD_WIRED:
        yield _notice(f"a {kind} that is {HARD_WIRED}", f"{HARD_WIRED} with the kind outlet only")


def _notice(found: str, expected: str, severity: Severity | None = None) -> Notice:
    return Notice(
        field="product.plug",
        found=found,
        expected=expected,
        fix="correct kind, system or mechanism; the vocabulary page says what each means",
        severity=severity,
        related=(("", "product.kind"),),
        inputs=(found,),
    )


CHECK = RecordCheck(RULE, run)
