"""Size and mass. Check values of 52 x 52 x 28 mm, 65 W, 118 g: standards.md item 10, derived there and verified twice."""

import pytest

BODY = "measured.body_mm"
CALLIPER = {"id": "cal", "quantity": "length", "digits": 2, "digit_size": 0.01}
BALANCE = {"id": "bal", "quantity": "mass", "digits": 1, "digit_size": 1}


def test_volume_and_densities(charger, inputs_of):
    figures = charger.figures()
    assert figures.value("body_volume_cm3") == pytest.approx(75.712, rel=1e-12)
    assert figures.value("power_density_w_per_cm3") == pytest.approx(0.858516, abs=5e-7)
    assert figures.value("power_density_w_per_in3") == pytest.approx(14.068565, abs=5e-7)
    assert figures.value("specific_power_w_per_g") == pytest.approx(0.550847, abs=5e-7)
    # by hand: 118 / 75.712 and 65 / (5 * 4 * 2.5)
    assert figures.value("mean_density_g_per_cm3") == pytest.approx(1.558538, abs=5e-7)
    assert figures.value("assembly_power_density_w_per_cm3") == pytest.approx(1.3, rel=1e-12)
    (density,) = figures.all("power_density_w_per_cm3")
    assert inputs_of(density) == {
        "product.rated_power_w": 65, "measured.body_mm.size[0]": 52, "measured.body_mm.size[1]": 52, "measured.body_mm.size[2]": 28,
    }  # fmt: skip
    assert density.assumed == () and density.method == "lidoff.engineering.density.power_density"
    (assembly,) = figures.all("assembly_power_density_w_per_cm3")
    assert set(inputs_of(assembly)) == {"product.rated_power_w", *(f"measured.assembly_mm[{i}]" for i in range(3))}
    (bare,) = figures.all("specific_power_w_per_g")
    assert inputs_of(bare) == {"product.rated_power_w": 65, "measured.mass_g": 118}


def test_a_cylinder_is_no_box(charger):
    # by hand: pi / 4 * 4 cm ** 2 * 5 cm
    lying = charger.one("body_volume_cm3", {f"{BODY}.size": [50, 40, 40], f"{BODY}.shape": "cylinder"})
    standing = charger.one("body_volume_cm3", {f"{BODY}.size": [40, 40, 50], f"{BODY}.shape": "cylinder"})
    assert lying.value == standing.value == pytest.approx(62.83185307)
    assert lying.method == "lidoff.engineering.geometry.cylinder_volume"
    odd = charger.one("body_volume_cm3", {f"{BODY}.size": [50, 40, 39], f"{BODY}.shape": "cylinder"})
    assert odd.value is None and "two equal diameters" in odd.absent


def test_a_measured_volume_goes_before_the_edges(charger, inputs_of):
    volume = charger.one("body_volume_cm3", {f"{BODY}.volume_cm3": 70.5})
    assert volume.value == pytest.approx(70.5) and inputs_of(volume) == {"measured.body_mm.volume_cm3": 70.5}
    assert volume.method == "lidoff.engineering.observation.as_observed"


def test_the_labelled_power_stands_in_for_the_rated_one(charger, inputs_of):
    density = charger.one("specific_power_w_per_g", {"product.rated_power_w": charger.gone, "label.total_power_w": 59})
    assert density.value == pytest.approx(0.5) and "label.total_power_w" in inputs_of(density)


@pytest.mark.parametrize(
    ("id", "changes", "reason"),
    [
        ("body_volume_cm3", {BODY: None}, "no size of the body is recorded"),
        ("body_volume_cm3", {f"{BODY}.prongs": "included"}, "the recorded size has the plug in it"),
        ("power_density_w_per_cm3", {f"{BODY}.prongs": "included"}, "the recorded size has the plug in it"),
        ("power_density_w_per_in3", {"product.rated_power_w": None}, "no rated power is recorded"),
        ("specific_power_w_per_g", {"measured.mass_g": None}, "no mass is recorded"),
        ("mean_density_g_per_cm3", {"measured.mass_g": None}, "no mass is recorded"),
        (
            "assembly_power_density_w_per_cm3",
            {"measured.assembly_mm": None},
            "no size of the bare assembly is recorded",
        ),
        ("body_volume_cm3", {"measured": None}, "no size of the body is recorded"),
    ],
)
def test_absence(charger, id, changes, reason):
    figure = charger.one(id, changes)
    assert figure.value is None and figure.absent == reason


def test_uncertainty_of_a_box_comes_from_its_instrument(charger):
    changes = {"instruments": [CALLIPER], f"{BODY}.instrument": "cal"}
    volume = charger.one("body_volume_cm3", changes)
    # by hand: u = 0.02 mm / sqrt(3) for each edge, one instrument: 2 u (ab + bc + ca) = 2 * 0.011547 * 5616 mm2
    assert volume.expanded_uncertainty == pytest.approx(0.129696, abs=1e-6)
    density = charger.one("power_density_w_per_cm3", changes)
    # a rated power is exact: the same share of the value
    assert density.expanded_uncertainty / density.value == pytest.approx(volume.expanded_uncertainty / volume.value)


def test_uncertainty_of_a_mass_comes_from_the_only_balance(charger):
    # by hand: u = 1 g / sqrt(3), U / value = 2 u / 118
    lone = charger.one("specific_power_w_per_g", {"instruments": [BALANCE]})
    assert lone.expanded_uncertainty / lone.value == pytest.approx(2 / 3**0.5 / 118)
    several = charger.one("specific_power_w_per_g", {"instruments": [BALANCE, BALANCE | {"id": "bal2"}]})
    assert several.expanded_uncertainty is None


@pytest.mark.parametrize(
    "changes",
    [
        {"instruments": [CALLIPER]},  # the row names no instrument
        {"instruments": [CALLIPER], f"{BODY}.instrument": "other"},
        {"instruments": [CALLIPER | {"quantity": "mass"}], f"{BODY}.instrument": "cal"},
        {"instruments": [{"id": "cal", "quantity": "length"}], f"{BODY}.instrument": "cal"},
        {
            "instruments": [{"id": "cal", "quantity": "length", "pct_reading": 1, "digits": 2}],
            f"{BODY}.instrument": "cal",
        },
        {"instruments": [{"id": "cal", "quantity": "length", "pct_range": 1}], f"{BODY}.instrument": "cal"},
        {"instruments": [CALLIPER], f"{BODY}.instrument": "cal", f"{BODY}.shape": "rounded-box"},
        {"instruments": [CALLIPER], f"{BODY}.instrument": "cal", f"{BODY}.shape": "irregular"},
    ],
)
def test_half_an_accuracy_is_no_uncertainty(charger, changes):
    volume = charger.one("body_volume_cm3", changes)
    assert volume.value is not None and volume.expanded_uncertainty is None


def test_accuracy_of_range_counts(charger):
    instrument = {"id": "cal", "quantity": "length", "pct_reading": 0, "pct_range": 0.02, "range": 100}
    by_range = charger.one("body_volume_cm3", {"instruments": [instrument], f"{BODY}.instrument": "cal"})
    # 0.02 % of 100 mm is the 0.02 mm of the calliper above
    assert by_range.expanded_uncertainty == pytest.approx(0.129696, abs=1e-6)
