"""Measured values beside published limits: only where the procedure is the same, always with the margin."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from lidoff.entry import Entry
from lidoff.figures.figure import Corner, Figure, Figures
from lidoff.pages.views.verdicts import HEDGE, verdicts
from lidoff.record.model.electrical import NoLoad

CORNER = Corner("C1", 115.0, 60.0, 20.0)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


@pytest.fixture
def judged(full_entry: Entry) -> Callable[..., list[str]]:
    """The verdicts on an average and a limit, without the hedge that always ends them."""

    def judged(average: float, limit: Figure | None, uncertainty: float | None = None) -> list[str]:
        figures = [Figure("average_efficiency_pct", "%", average, CORNER, uncertainty), *([limit] if limit else [])]
        said = verdicts(replace(full_entry, figures=Figures(tuple(figures))))
        assert said[-1].text == HEDGE
        return [plain(one.text) for one in said[:-1]]

    return judged


def limit(value: float | None, absent: str | None = None) -> Figure:
    return Figure("efficiency_limit_pct", "%", value, CORNER, source="a regulation", absent=absent)


@pytest.mark.parametrize(
    ("average", "uncertainty", "said"),
    [
        (91.0, None, "91.00 % on average over four loads, 3.0 points above the published minimum of 88.00 %."),
        (
            87.5,
            None,
            "87.50 % on average over four loads, 0.50 points below the published minimum of 88.00 %: not decided, because "
            "the accuracy of the instruments is not recorded.",
        ),
        (87.5, 0.3, "87.50 ± 0.30 % on average over four loads, 0.50 points below the published minimum of 88.00 %."),
        (
            88.2,
            0.3,
            "88.20 ± 0.30 % on average over four loads, 0.20 points above the published minimum of 88.00 %: not "
            "decided, because that is within the uncertainty of the measurement.",
        ),
    ],
)
def test_an_average_is_given_with_its_margin(
    average: float, uncertainty: float | None, said: str, judged: Callable[..., list[str]]
) -> None:
    assert judged(average, limit(88.0), uncertainty) == [f"C1, 20 V out, 115 V 60 Hz mains: {said}"]


def test_where_the_procedure_differs_it_is_not_judged(judged: Callable[..., list[str]]) -> None:
    said = judged(91.0, limit(None, "not judged: other load"))
    assert said == ["C1, 20 V out, 115 V 60 Hz mains: 91.00 % on average over four loads. Not judged: other load."]
    assert judged(91.0, None) == ["C1, 20 V out, 115 V 60 Hz mains: 91.00 % on average over four loads."]


def test_no_load_power_is_judged_with_nothing_plugged_in_alone(full_entry: Entry) -> None:
    rows = (
        NoLoad(230.0, 0.058, 50.0, state="nothing", sample="s1"),
        NoLoad(230.0, 0.35, 50.0, state="nothing", sample="s2"),
        NoLoad(230.0, 0.21, 50.0, state="full-device"),
        NoLoad(240.0, 0.05, 50.0, state="nothing"),
    )
    measured = replace(full_entry.record.measured, no_load=rows)
    maximum = Figure("no_load_limit_w", "W", 0.3, Corner(mains_v=230.0, mains_hz=50.0), source="a regulation")
    entry = replace(full_entry, record=replace(full_entry.record, measured=measured), figures=Figures((maximum,)))
    lead = "No load at 230 V"
    said = [plain(one.text) for one in verdicts(entry)]
    assert said == [
        f"{lead}, sample s1: 0.058 W from the mains, 0.242 W below the published maximum of 0.300 W.",
        f"{lead}, sample s2: 0.35 W from the mains, 0.05 W above the published maximum of 0.300 W: not decided, "
        "because the accuracy of the instruments is not recorded.",
        HEDGE,
    ]


@pytest.mark.parametrize(
    ("power_w", "said"),
    [
        (0.35, "0.35 ± 0.02 W from the mains, 0.05 W above the published maximum of 0.300 W."),
        (
            0.31,
            "0.31 ± 0.02 W from the mains, 0.01 W above the published maximum of 0.300 W: not decided, because that is within "
            "the uncertainty of the measurement.",
        ),
        (0.2, "0.20 ± 0.02 W from the mains, 0.10 W below the published maximum of 0.300 W."),
    ],
)
def test_no_load_power_with_its_uncertainty(power_w: float, said: str, full_entry: Entry) -> None:
    # by hand: two digits of 10 mW and 0.1 % give 2 x 0.0203 / root 3 = 0.0235 W at 0.3 W
    measured = replace(
        full_entry.record.measured, no_load=(NoLoad(230.0, power_w, 50.0, sample="s1", instrument="pm1"),)
    )
    maximum = Figure("no_load_limit_w", "W", 0.3, Corner(mains_v=230.0, mains_hz=50.0), source="a regulation")
    entry = replace(full_entry, record=replace(full_entry.record, measured=measured), figures=Figures((maximum,)))
    assert plain(verdicts(entry)[0].text) == f"No load at 230 V, sample s1: {said}"


def test_averages_that_are_not_judged_for_one_reason_stand_together(full_entry: Entry) -> None:
    corners = (CORNER, CORNER._replace(output_v=15.0))
    figures = [Figure("average_efficiency_pct", "%", 91.0, corner) for corner in corners]
    figures += [
        Figure("efficiency_limit_pct", "%", None, corner, absent="not judged: other load") for corner in corners
    ]
    said = plain(verdicts(replace(full_entry, figures=Figures(tuple(figures))))[0].text)
    assert said == (
        "C1, 20 V out, 115 V 60 Hz mains: 91.00 %; C1, 15 V out, 115 V 60 Hz mains: 91.00 % on average over four loads. "
        "Not judged: other load."
    )


def test_nothing_measured_nothing_said(bare_entry: Entry) -> None:
    assert verdicts(bare_entry) == ()
