"""Figures as text for a terminal, and as plain data."""

from lidoff.figures.catalogue import KINDS, QUESTIONS
from lidoff.figures.figure import Assumed, Corner, Figure, FigureInput
from lidoff.figures.listing import WIDTH, listing
from lidoff.figures.plain import plain_figure


def lines_of(charger, changes: dict | None = None) -> list[str]:
    return listing(charger.record(**(changes or {})), charger.figures(changes)).splitlines()


def test_figures_stand_under_the_readers_questions(charger):
    lines = lines_of(charger)
    headings = [line for line in lines if line and not line.startswith(" ")]
    assert headings == ["Fernhollow FH-65 (invented data)", *QUESTIONS.values(), "Caution"]
    for kind in KINDS.values():
        start = lines.index(QUESTIONS[kind.question])
        block = "\n".join(lines[start:]).split("\n\n")[0]
        assert kind.title in block, kind.id


def test_real_data_is_not_called_invented(charger):
    assert lines_of(charger, {"demo": None})[0] == "Fernhollow FH-65"


def test_values_are_aligned_and_marked(charger):
    lines = lines_of(charger)
    peak = next(line for line in lines if line.startswith("  Highest voltage of the bulk"))
    valley = next(line for line in lines if line.startswith("  Lowest voltage of the bulk capacitor, 90 V 47 Hz mains"))
    assert peak.index("373 V") == valley.index(" V  ", 60) - 4
    (mark,) = peak.rsplit("assumes ")[1:]
    assert f"  {mark}  mains_tolerance_pct 10 %: IEC 60038, 10 % at the supply terminals (from memory)" in lines
    assert "4.62 in³" in next(line for line in lines if "Volume of the body" in line)


def test_absences_are_said_with_their_reason(charger):
    assert "  Turns ratios that the ratings leave open: none, the turns are recorded" in lines_of(charger)
    assert "  Largest charging power, C1: none, the log was not read" in lines_of(charger)


def test_measured_and_bounded_values_say_so(charger):
    changes = {"magnetics": [], "measured.waveforms": [{"ref": "Q1", "peak_v": 548, "mains_v": 264}]}
    text = "\n".join(lines_of(charger, changes))
    assert "Voltage across the primary switch, 264 V mains" in text and "548 V" in text and "as measured" in text
    assert "at least 4.67" in text and "at most 14.2" in text


def test_plus_minus_is_explained_where_it_is_used(charger):
    changes = {"instruments": [{"id": "bal", "quantity": "mass", "digits": 1, "digit_size": 1}]}
    assert any(line.startswith("  ± is the expanded uncertainty (k = 2)") for line in lines_of(charger, changes))
    assert not any("±" in line for line in lines_of(charger))


def test_without_assumptions_it_says_so(charger):
    assert "  No figure rests on an assumption." in lines_of(
        charger, {"components": [], "conversion": None, "label": None, "product.rated_power_w": None}
    )


def test_lines_stay_narrow(charger):
    assert max(len(line) for line in lines_of(charger) if ": none," in line or line.startswith("    ")) <= WIDTH


def test_plain_data_has_the_form_of_the_design():
    figure = Figure(
        "loss_w", "W", 5.1, Corner("C1", 115.0), 0.1, (FigureInput("measured.efficiency[3].input_w", 70.1, "W"),),
        (Assumed("bridge_drop_v", 1.7, "V", "a source"),), "lidoff.engineering.supply_efficiency.operating_point", "10 CFR 430",
    )  # fmt: skip
    assert plain_figure(figure) == {
        "id": "loss_w",
        "of": {"port": "C1", "mains_v": 115.0},
        "value": 5.1,
        "unit": "W",
        "expanded_uncertainty": 0.1,
        "inputs": [{"field": "measured.efficiency[3].input_w", "value": 70.1, "unit": "W"}],
        "assumed": [{"id": "bridge_drop_v", "value": 1.7, "unit": "V", "source": "a source"}],
        "method": "lidoff.engineering.supply_efficiency.operating_point",
        "source": "10 CFR 430",
        "absent": None,
    }
