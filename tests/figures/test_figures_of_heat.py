"""Loss, heat through the surface, surface temperature and sustained power. All expectations by hand."""

import pytest

from lidoff.figures.figure import Corner

LOSS, FLUX, RISE, SUSTAINED = "loss_w", "heat_flux_mw_per_cm2", "surface_rise_k", "sustained_power_w"
AT_115 = Corner("C1", 115, 60, 20)
SOAK = "measured.soak[0]"


def test_loss_at_full_load(charger, inputs_of):
    loss = charger.one(LOSS)
    assert loss.value == pytest.approx(5.1) and loss.of == AT_115
    assert inputs_of(loss) == {
        "measured.efficiency[3].output_v": 20,
        "measured.efficiency[3].output_a": 3.25,
        "measured.efficiency[3].input_w": 70.1,
    }


def test_uncertainty_of_the_loss_is_that_of_a_difference(charger):
    meters = [
        {"id": "in", "quantity": "power", "pct_reading": 0.1},
        {"id": "out", "quantity": "power", "pct_reading": 0.05},
    ]
    changes = {
        "instruments": meters,
        "measured.efficiency[3].input_instrument": "in",
        "measured.efficiency[3].output_instrument": "out",
    }
    loss = charger.one(LOSS, changes)
    assert loss.expanded_uncertainty == pytest.approx(2 * (0.0701**2 + 0.0325**2) ** 0.5 / 3**0.5)


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"measured.efficiency": []}, "no efficiency points are recorded"),
        ({"measured.efficiency[3].load_pct": 80}, "no efficiency point at full load is recorded"),
        (
            {"measured.efficiency[3].measured_at": "cable-end"},
            "the output was measured at the end of a cable, whose loss is not heat in the unit",
        ),
        (
            {"measured.efficiency[3].input_w": 65},
            "a measured output power is not below the input power, which only a fault of measurement explains",
        ),
    ],
)
def test_loss_absent(charger, changes, reason):
    figures = charger.figures(changes)
    assert [one.absent for one in figures.all(LOSS)] == [reason]
    assert [one.absent for one in figures.all(FLUX)] == [reason]


def test_full_load_without_a_load_base_is_near_rated_power(charger):
    bare = {"measured.efficiency": charger.rows(load_pct=None, load_base_a=None)}
    assert charger.one(LOSS, bare).value == pytest.approx(5.1)
    assert (
        charger.one(LOSS, bare | {"product.rated_power_w": None}).absent
        == "no efficiency point at full load is recorded"
    )


def test_heat_flux_takes_the_largest_loss(charger, inputs_of):
    # 5.1 W and 6.2 W over 2 (27.04 + 14.56 + 14.56) cm2
    flux = charger.one(FLUX)
    assert flux.value == pytest.approx(5100 / 112.32) and flux.of == AT_115
    assert set(inputs_of(flux)) == {f"measured.efficiency[3].{key}" for key in ("output_v", "output_a", "input_w")} | {
        f"measured.body_mm.size[{i}]" for i in range(3)
    }
    more = [row | {"mains_v": 230, "mains_hz": 50, "input_w": row["input_w"] + 1.1} for row in charger.rows()]
    largest = charger.one(FLUX, {"measured.efficiency": charger.rows() + more})
    assert largest.value == pytest.approx(6200 / 112.32) and largest.of == Corner("C1", 230, 50, 20)
    # by hand: pi d h + pi / 2 d2 for 5 cm and 4 cm: 87.9646 cm2
    round_body = charger.one(FLUX, {"measured.body_mm.size": [50, 40, 40], "measured.body_mm.shape": "cylinder"})
    assert round_body.value == pytest.approx(5100 / 87.964594)


def test_heat_flux_needs_a_body(charger):
    assert charger.one(FLUX, {"measured.body_mm": None}).absent == "no size of the body is recorded"
    assert charger.one(FLUX, {"measured.body_mm.prongs": "included"}).absent == "the recorded size has the plug in it"


def test_surface_rise(charger, inputs_of):
    rise = charger.one(RISE)
    assert rise.value == 46 and rise.of == Corner("C1", 230, 50)
    assert inputs_of(rise) == {"measured.soak[0].surface_c": 71, "measured.soak[0].ambient_c": 25}
    thermometer = {
        "instruments": [{"id": "th", "quantity": "temperature", "digits": 15, "digit_size": 0.1}],
        f"{SOAK}.instrument": "th",
    }
    assert charger.one(RISE, thermometer).expanded_uncertainty == pytest.approx(2 * 1.5 / 3**0.5 * 2**0.5)


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"measured.soak": []}, "no long run is recorded"),
        ({f"{SOAK}.surface_c": None}, "no surface temperature of the run is recorded"),
        ({f"{SOAK}.ambient_c": None}, "the air temperature of the run is not recorded"),
    ],
)
def test_surface_rise_absent(charger, changes, reason):
    rise = charger.one(RISE, changes)
    assert rise.value is None and rise.absent == reason


def test_sustained_power_as_recorded(charger, inputs_of):
    figure = charger.one(SUSTAINED, {f"{SOAK}.sustained_w": 45, f"{SOAK}.foldback_after_min": 20})
    assert figure.value == 45 and inputs_of(figure) == {"measured.soak[0].sustained_w": 45}
    assert figure.method == "lidoff.engineering.observation.as_observed"


def test_a_run_that_was_not_reduced_kept_its_power_up(charger, inputs_of):
    both = charger.one(SUSTAINED, {f"{SOAK}.ports": {"C1": 45, "A1": 12}})
    assert both.value == 57 and both.of == Corner(None, 230, 50)
    assert inputs_of(both) == {"measured.soak[0].ports.C1": 45, "measured.soak[0].ports.A1": 12}


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"measured.soak": []}, "no long run is recorded"),
        (
            {f"{SOAK}.foldback_after_min": 20},
            "the output was reduced during the run, and the power at its end is not recorded",
        ),
        ({f"{SOAK}.after_min": None}, "neither the power at the end of the run nor its length is recorded"),
    ],
)
def test_sustained_power_absent(charger, changes, reason):
    figure = charger.one(SUSTAINED, changes)
    assert figure.value is None and figure.absent == reason


def test_one_run_a_corner_of_the_first_sample_and_the_longest(charger):
    run = {"ports": {"C1": 65}, "mains_v": 230, "mains_hz": 50, "ambient_c": 25, "after_min": 30, "surface_c": 60}
    runs = [
        run | {"sample": "s2", "surface_c": 99, "after_min": 90},
        run,
        run | {"after_min": 60, "surface_c": 70},
        run | {"mains_v": 115, "surface_c": 80},
    ]
    rises = charger.all(RISE, {"measured.soak": runs})
    assert [(one.of.mains_v, one.value) for one in rises] == [(230, 45), (115, 55)]
