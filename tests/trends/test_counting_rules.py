"""Each rule of counting, pinned with the smallest invented entry that shows it."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest

from lidoff.entry import Entry
from lidoff.figures.figure import Corner, Figure, Figures
from lidoff.rows.positions import OUTPUT_SWITCH, PFC_SWITCH, PRIMARY_SWITCH, SYNC_RECTIFIER, technology
from lidoff.trends.frames import Frames
from lidoff.trends.spread import figure_values
from lidoff.trends.tables import build_table

FramesOf = Callable[[Sequence[Entry]], Frames]
MakeEntry = Callable[..., Entry]


def switch(ref: str, technology: str | None = None, **more: object) -> dict:
    return {"ref": ref, "roles": ["primary-switch"], **({"technology": technology} if technology else {}), **more}


@pytest.mark.parametrize(
    ("parts", "word"),
    [
        ([switch("Q1", "gan-enhancement")], "gan"),
        ([switch("Q1", "silicon-superjunction")], "silicon"),
        ([switch("Q1", "sic-mosfet")], "sic"),
        ([switch("Q1", "gan-enhancement"), switch("Q2", "gan-cascode")], "gan"),
        ([switch("Q1", "gan-enhancement"), switch("Q2", "silicon-superjunction")], "mixed"),
        ([switch("Q1", "gan-enhancement"), switch("Q2", "silicon-superjunction"), switch("Q3")], "mixed"),
        ([switch("Q1", "gan-enhancement"), switch("Q2")], "undetermined"),
        ([switch("Q1")], "undetermined"),
        ([switch("Q1", "undetermined")], "undetermined"),
        ([switch("Q1", "gan-undetermined")], "gan"),
        ([switch("Q1", "gan-enhancement", identified_by="brand-claim")], "undetermined"),
        ([switch("Q1", "gan-enhancement", identified_by="brand-claim"), switch("Q2", "gan-cascode")], "undetermined"),
        ([{"ref": "U1", "roles": ["primary-controller", "primary-switch"], "technology": "gan-integrated"}], "gan"),
        ([{"ref": "Q9", "roles": ["clamp-switch"], "technology": "gan-enhancement"}], "undetermined"),
    ],
)
def test_the_technology_of_the_primary_switch(make_entry: MakeEntry, parts: list[dict], word: str) -> None:
    assert technology(make_entry(changes={"components": parts}).record, PRIMARY_SWITCH) == word


@pytest.mark.parametrize(
    ("changes", "position", "word"),
    [
        ({"coverage": {"parts": "main"}}, PRIMARY_SWITCH, "undetermined"),
        ({"coverage": {"parts": "every"}}, PRIMARY_SWITCH, "undetermined"),
        ({"coverage": {"parts": "visible"}}, PRIMARY_SWITCH, "not recorded"),
        ({"coverage": None}, PRIMARY_SWITCH, "not recorded"),
        ({"coverage": {"parts": "every"}}, OUTPUT_SWITCH, "none"),
        ({"coverage": {"parts": "every", "boards": "main"}}, OUTPUT_SWITCH, "undetermined"),
        ({"coverage": {"parts": "every", "hidden_by": ["potting"]}}, OUTPUT_SWITCH, "undetermined"),
        ({"coverage": None, "conversion": {"pfc": "none"}}, PFC_SWITCH, "none"),
        ({"coverage": None, "conversion": {"pfc": "boost"}}, PFC_SWITCH, "not recorded"),
        ({"coverage": None, "conversion": {"secondary": "diode"}}, SYNC_RECTIFIER, "none"),
        ({"coverage": None, "conversion": {"secondary": "sync-rectified"}}, SYNC_RECTIFIER, "not recorded"),
    ],
)
def test_what_a_missing_part_means(make_entry: MakeEntry, changes: dict, position: object, word: str) -> None:
    assert technology(make_entry(changes=changes).record, position) == word


def test_drafts_never_count(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    entries = [make_entry("fernhollow/a"), make_entry("fernhollow/b", {"status": "draft"})]
    assert frames_of(entries).products["slug"].tolist() == ["fernhollow/a"]


def test_the_year_is_that_of_the_launch_else_of_the_teardown_and_marked(
    make_entry: MakeEntry, frames_of: FramesOf
) -> None:
    entries = [
        make_entry("fernhollow/a", {"product": {"launched": 2023}}),
        make_entry("fernhollow/b", {"product": {"launched": None}}),
        make_entry("fernhollow/c", {"product": {"launched": None}, "teardown": None, "source": "a document"}),
    ]
    table = build_table(frames_of(entries), "technology-by-year")
    assert table.columns == ("2023", "2025", "unknown")
    assert table.column_totals == (1, 1, 1)
    assert any("2025 (1)" in note for note in table.notes)


def test_a_multi_valued_row_counts_a_product_once_and_totals_are_distinct_products(
    make_entry: MakeEntry, frames_of: FramesOf
) -> None:
    ports = [
        {"id": "C1", "connector": "usb-c", "protocols": ["pps", "usb-pd-3.0"]},
        {"id": "C2", "connector": "usb-c", "protocols": ["pps"], "other_protocols": ["Quick Ember"]},
    ]
    entries = [
        make_entry("fernhollow/a", {"ports": ports}),
        make_entry("fernhollow/b", {"ports": [{"id": "C1", "connector": "usb-c", "protocols": []}]}),
        make_entry("fernhollow/c"),
    ]
    table = build_table(frames_of(entries), "protocols-by-tier")
    counts = {row.label: total for row, total in zip(table.rows, table.row_totals, strict=True)}
    assert counts == {"usb-pd-3.0": 1, "pps": 1, "Quick Ember": 1, "none": 1, "not recorded": 1}
    assert table.cell("pps", "46-67 W").products == ("fernhollow/a",)
    assert table.column_totals[table.columns.index("46-67 W")] == 3
    assert table.n == 3


def test_one_port_that_was_not_examined_leaves_the_protocols_open(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    ports = [{"id": "C1", "connector": "usb-c", "protocols": []}, {"id": "C2", "connector": "usb-c"}]
    table = build_table(frames_of([make_entry("fernhollow/a", {"ports": ports})]), "protocols-by-tier")
    assert [row.label for row in table.rows] == ["not recorded"]


def test_a_controller_counts_once_a_function_and_a_guess_is_not_identified(
    make_entry: MakeEntry, frames_of: FramesOf
) -> None:
    part = {"maker": "Pell Lane", "part_number": "PL1"}
    parts = [
        {"ref": "U1", "roles": ["primary-controller", "pfc-controller"], **part},
        {"ref": "U2", "roles": ["primary-controller"], **part},
        {"ref": "U3", "roles": ["protocol-controller"], **part, "strength": "guess"},
        {"ref": "U4", "roles": ["sync-rectifier-controller"], "part_number": "PL1"},
    ]
    table = build_table(
        frames_of([make_entry("fernhollow/a", {"components": parts}), make_entry("fernhollow/b")]), "controllers"
    )
    assert [(row.label, row.about) for row in table.rows] == [
        ("Pell Lane PL1", ("part", "Pell Lane", "PL1")),
        ("PL1 (maker unknown)", ("part", "", "PL1")),
        ("not identified", ()),
    ]
    assert [cell.value for cell in table.rows[0].cells] == [1, 1, 0, 0, 0, 0]
    assert table.row_totals == (1, 1, 1)
    assert table.column_totals == (1, 1, 1, 0, 1, 0)
    assert table.n == 1
    assert "No controller is recorded of 1 further product." in table.notes


def test_one_design_under_two_brands_is_one_platform(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    design = {"label": {"manufacturer": "Pell  Lane"}, "boards": [{"id": "m", "role": "main", "silkscreen": "PL65 R2"}]}
    entries = [
        make_entry("fernhollow/a", design),
        make_entry(
            "quillstone/b", {**design, "label": {"manufacturer": "pell lane"}, "product": {"brand": "Quillstone"}}
        ),
        make_entry("quillstone/c", {"product": {"brand": "Quillstone"}}),
    ]
    table = build_table(frames_of(entries), "topology-by-tier")
    assert (table.n, table.brands, table.platforms) == (3, 2, 2)


def test_a_family_of_revisions_is_one_platform_with_all_that_share_a_board_with_it(
    make_entry: MakeEntry, frames_of: FramesOf
) -> None:
    def board(text: str) -> dict:
        return {"label": {"manufacturer": "Pell Lane"}, "boards": [{"id": "m", "role": "main", "silkscreen": text}]}

    entries = [
        make_entry("fernhollow/a", board("R1")),
        make_entry("fernhollow/b", {**board("R2"), "product": {"revision_of": "fernhollow/a"}}),
        make_entry("fernhollow/c", {"product": {"revision_of": "fernhollow/b"}}),
        make_entry("quillstone/d", board("r2")),
        make_entry("quillstone/e", {"product": {"revision_of": "quillstone/never-recorded"}}),
        make_entry("quillstone/f", {"product": {"revision_of": "quillstone/never-recorded"}}),
        make_entry("quillstone/g"),
    ]
    for order in (entries, entries[::-1]):
        products = frames_of(order).products.set_index("slug")
        assert list(products["platform"]) == ["pell lane / r1"] * 4 + [products["platform"]["quillstone/e"]] * 2 + [
            "quillstone/g"
        ]
        assert list(products["platform_basis"]) == [
            "board", "revision", "revision", "board", "revision", "revision", "product",
        ]  # fmt: skip
    table = build_table(frames_of(entries), "topology-by-tier")
    assert (table.n, table.platforms) == (7, 3)


def test_revisions_in_a_ring_do_not_hang(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    ring = [
        make_entry("fernhollow/a", {"product": {"revision_of": "fernhollow/b"}}),
        make_entry("fernhollow/b", {"product": {"revision_of": "fernhollow/a"}}),
    ]
    assert frames_of(ring).products["platform"].nunique() == 1


def test_no_share_below_ten_platforms_and_none_from_ten_shells_of_one(
    make_entry: MakeEntry, frames_of: FramesOf
) -> None:
    design = {"label": {"manufacturer": "Pell Lane"}, "boards": [{"id": "m", "role": "main", "silkscreen": "R2"}]}
    shells = [make_entry(f"fernhollow/s{place}", design) for place in range(12)]
    others = [make_entry(f"fernhollow/o{place}") for place in range(9)]
    few = build_table(frames_of([*shells, *others[:8]]), "topology-by-tier").cell("not recorded", "46-67 W")
    enough = build_table(frames_of([*shells, *others]), "topology-by-tier").cell("not recorded", "46-67 W")
    assert (few.value, few.share) == (20, None)
    assert enough.share is not None
    assert (enough.share.platforms, enough.share.of_platforms) == (10, 10)


def test_rows_and_columns_name_what_they_link_to(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    table = build_table(frames_of([make_entry()]), "technology-by-tier")
    assert table.columns_about[table.columns.index("46-67 W")] == ("tier", "46-67-w")
    assert table.columns_about[table.columns.index("unknown")] == ()
    assert build_table(frames_of([make_entry()]), "density-by-tier").rows[3].about == ("tier", "46-67-w")


def test_an_empty_collection_gives_empty_tables(frames_of: FramesOf) -> None:
    from lidoff.trends.tables import TABLES

    frames = frames_of([])
    for name in TABLES:
        table = build_table(frames, name)
        assert table.n == 0, name
        assert all(cell.value in (0, None) for row in table.rows for cell in row.cells), name


def test_a_value_without_a_corner_stands_for_the_product(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    """A second bulk capacitor that works at low mains only must not pull the median of its product."""
    whole = make_entry("fernhollow/fh-65", figures={"bulk_uf_per_w": 0.6})
    low_line = Figure("bulk_uf_per_w", "µF/W", value=2.1, of=Corner(mains_v=115, mains_hz=60))
    entry = replace(whole, figures=Figures((*whole.figures.items, low_line)))
    cornered = replace(whole, slug="fernhollow/fh-66", figures=Figures((low_line, low_line._replace(value=2.3))))
    values = figure_values(frames_of([entry, cornered]), "bulk_uf_per_w")
    assert dict(zip(values["slug"], values["value"], strict=True)) == {"fernhollow/fh-65": 0.6, "fernhollow/fh-66": 2.2}
