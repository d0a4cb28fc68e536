"""What the parts say about the conversion, held against published block descriptions and textbook role lists.

``role_lists/published.csv`` has block descriptions that were seen, each with its document; ``role_lists/textbook.csv``
has lists written from textbook definitions, from memory, which prove no more than that the rules are those meant. The
column ``parts`` lists roles, ``*2`` for two equal parts, control features in brackets; ``first`` is the word that the
parts are most consistent with.
"""

import csv
import re
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from lidoff.figures.topology import infer
from lidoff.figures.verdict import Verdict, named
from lidoff.record.load import load_file
from lidoff.record.model import Record
from lidoff.record.model.component import Component, Ratings
from lidoff.record.model.construction import Magnetic, Winding
from lidoff.record.model.label import Port
from lidoff.record.model.product import Coverage, Product
from lidoff.record.reference import vocabularies

HERE = Path(__file__).parent
PUBLISHED = HERE.parents[0] / "published"
WORDS = {vocabulary.name: tuple(word.word for word in vocabulary.words) for vocabulary in vocabularies()}
MAIN = Coverage(boards="all", parts="main")
LEVELS = {"undetermined": 0, "medium": 1, "high": 2}


def rows(name: str) -> list:
    with (HERE / "role_lists" / f"{name}.csv").open(encoding="utf-8", newline="") as table:
        reader = csv.DictReader(table, strict=True)
        return [pytest.param(row, id=f"{name}:{reader.line_num}:{row['what']}:{row['claim']}") for row in reader]


def part(text: str, number: int) -> Component:
    role, quantity, control = re.fullmatch(r"([a-z-]+)(?:\*(\d+))?(?:\[(.+)\])?", text).groups()
    return Component(
        ref=f"X{number}", roles=(role,), quantity=int(quantity) if quantity else None,
        control=tuple(control.split("+")) if control else (),
    )  # fmt: skip


def record(
    parts: list[Component], coverage: Coverage | None = MAIN, windings: tuple[str, ...] = (), ports: int = 1
) -> Record:
    magnetics = (Magnetic("T1", windings=tuple(Winding(name) for name in windings)),) if windings else ()
    return Record(
        schema=1, status="published", product=Product("Fernhollow", "FH-65", "wall-charger"),
        ports=tuple(Port(f"C{number + 1}", "usb-c") for number in range(ports)), coverage=coverage,
        components=tuple(parts), magnetics=magnetics,
    )  # fmt: skip


def verdict(claim: str, *parts: str, coverage: Coverage | None = MAIN, ports: int = 1) -> Verdict:
    listed = [part(text, number) for number, text in enumerate(parts, 1)]
    return next(one for one in infer(record(listed, coverage, ports=ports)) if one.claim == claim)


@pytest.mark.parametrize("row", rows("published") + rows("textbook"))
def test_a_role_list_reads_as_what_it_is(row: dict) -> None:
    parts = [part(text, number) for number, text in enumerate(row["parts"].split(), 1)]
    found = infer(record(parts, windings=tuple(row["windings"].split()), ports=int(row["ports"])))
    one = next(one for one in found if one.claim == row["claim"])
    if row["first"] == "forward":  # the same roles fit a flyback with a filter inductor, so it is never first
        assert one.fits[-1] == "forward"
    else:
        assert (one.fits[0] if one.fits else "") in row["first"].split("|")
    assert one.confidence == row["confidence"], one.text


def test_published_rows_name_a_document_and_textbook_rows_do_not() -> None:
    for name, basis in (("published", "published"), ("textbook", "from-memory")):
        for row in (one.values[0] for one in rows(name)):
            assert row["basis"] == basis and row["source"] and row["location"]
            assert (row["source"] == "from textbook definitions") == (name == "textbook")


@pytest.mark.parametrize("path", sorted(PUBLISHED.glob("entries/*/*/record.yaml")), ids=lambda path: path.parent.name)
def test_no_published_conversion_is_contradicted(path: Path) -> None:
    stated = yaml.safe_load(path.read_text(encoding="utf-8")).get("conversion", {})
    loaded = load_file(path, PUBLISHED)
    assert loaded.record is not None
    for one in infer(loaded.record):
        assert not one.is_determined or stated.get(one.claim) in (None, "undetermined", *one.fits), one.text


def test_a_verdict_says_what_it_rests_on() -> None:
    one = verdict(
        "primary",
        "primary-switch",
        "primary-controller[valley-switching]",
        "clamp-diode",
        "transformer",
        "sync-rectifier",
    )
    assert one.text == (
        "consistent with flyback-quasi-resonant or flyback-zero-voltage or flyback, because X1 is the only main switch; "
        "X2 switches in the valley; X3 clamps it (well supported by the parts)"
    )
    assert one.refs == ("X1", "X3", "X4")
    assert verdict("primary", "optocoupler").text == "undetermined: no primary switch is listed"


def test_what_is_missing_counts_only_where_it_was_looked_for() -> None:
    parts = ("primary-switch", "primary-controller", "transformer", "sync-rectifier", "bulk-capacitor")
    for coverage in (None, Coverage(), Coverage(boards="visible", parts="visible")):
        assert verdict("pfc", *parts, coverage=coverage).confidence == "undetermined"
        assert verdict("primary", *parts, coverage=coverage).confidence == "undetermined"
        assert verdict("per_port", *parts, coverage=coverage).confidence == "undetermined"
    assert verdict("pfc", *parts, coverage=Coverage(parts="main", hidden_by=("potting",))).confidence == "medium"
    assert verdict("pfc", *parts).confidence == "high"


def test_a_capacitor_of_450_v_leaves_room_for_a_boost_stage() -> None:
    parts = [part(text, number) for number, text in enumerate(("primary-switch", "bulk-capacitor"), 1)]
    for rating, confidence in ((400.0, "high"), (450.0, "medium")):
        bulk = Component(ref="C1", roles=("bulk-capacitor",), ratings=Ratings(voltage_v=rating))
        one = next(one for one in infer(record([parts[0], bulk])) if one.claim == "pfc")
        assert (one.fits, one.confidence) == (("none", "passive"), confidence)


def test_parts_that_are_there_count_whatever_was_looked_for() -> None:
    hidden = Coverage(boards="visible", parts="visible", hidden_by=("potting",))
    assert verdict("pfc", "pfc-inductor", "pfc-switch", coverage=hidden).fits[0] == "boost"
    assert verdict("per_port", "dc-dc-inductor", "dc-dc-controller", coverage=hidden).fits[0] == "buck"


roles_of_all = st.sampled_from(WORDS["role"])
features = st.sampled_from(WORDS["control_feature"])
components = st.builds(
    lambda roles, quantity, control: (tuple(dict.fromkeys(roles)), quantity, tuple(dict.fromkeys(control))),
    st.lists(roles_of_all, min_size=1, max_size=3), st.none() | st.integers(1, 4), st.lists(features, max_size=2),
)  # fmt: skip
coverages = st.none() | st.builds(Coverage, parts=st.sampled_from(WORDS["coverage_parts"]))


@given(st.lists(components, max_size=12), coverages, st.integers(1, 4))
def test_any_list_of_parts_gets_four_careful_verdicts(listed: list, coverage: Coverage | None, ports: int) -> None:
    parts = [Component(f"X{number}", *roles_and_more(one)) for number, one in enumerate(listed, 1)]
    found = infer(record(parts, coverage, ports=ports))
    assert [one.claim for one in found] == ["pfc", "primary", "secondary", "per_port"]
    for one in found:
        assert set(one.fits) <= set(WORDS[one.claim]) - {"undetermined"} and len(set(one.fits)) == len(one.fits)
        assert bool(one.fits) == one.is_determined and one.because and all(one.because)
        assert set(one.refs) <= {part.ref for part in parts}
        assert len(one.text) < 400


def roles_and_more(one: tuple) -> tuple:
    roles, quantity, control = one
    return roles, quantity, None, None, None, None, None, control


@given(st.lists(components, max_size=12), st.integers(1, 4))
def test_hidden_parts_never_make_a_verdict_surer(listed: list, ports: int) -> None:
    parts = [Component(f"X{number}", *roles_and_more(one)) for number, one in enumerate(listed, 1)]
    seen = infer(record(parts, MAIN, ports=ports))
    hidden = infer(record(parts, Coverage(boards="all", parts="main", hidden_by=("potting",)), ports=ports))
    for clear, dim in zip(seen, hidden, strict=True):
        assert LEVELS[dim.confidence] <= LEVELS[clear.confidence]


def test_many_names_are_cut_short() -> None:
    assert named(()) == "" and named(("Q1",)) == "Q1" and named(("Q1", "Q2")) == "Q1 and Q2"
    assert named(tuple(f"Q{number}" for number in range(1, 10))) == "Q1, Q2, Q3, Q4, Q5 and 4 more"
