"""Power tiers: inclusive upper limits, labels and addresses."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.rows.tiers import UNKNOWN, tier_label, tier_labels, tier_slug, tier_text, tier_word
from lidoff.settings import DEFAULT_TIERS_W


@pytest.mark.parametrize(
    ("rated_power_w", "label"),
    [
        (5, "up to 20 W"), (20, "up to 20 W"), (20.5, "21-33 W"), (45, "34-45 W"), (46, "46-67 W"), (65, "46-67 W"),
        (67, "46-67 W"),
        (67.5, "68-100 W"), (140, "101-140 W"), (240, "141-240 W"), (240.1, "over 240 W"), (None, "unknown"),
    ],
)  # fmt: skip
def test_the_upper_limit_is_included(rated_power_w: float | None, label: str) -> None:
    assert tier_label(rated_power_w, DEFAULT_TIERS_W) == label


def test_limits_that_are_not_whole_say_what_they_mean() -> None:
    assert tier_labels((22.5, 33, 34)) == (
        "up to 22.5 W",
        "over 22.5 to 33 W",
        "over 33 to 34 W",
        "over 34 W",
        "unknown",
    )


@pytest.mark.parametrize(
    ("label", "slug"),
    [("46-67 W", "46-67-w"), ("up to 20 W", "up-to-20-w"), ("over 22.5 to 33 W", "over-22-5-to-33-w")],
)
def test_the_address_of_a_tier(label: str, slug: str) -> None:
    assert tier_slug(label) == slug


@given(
    limits=st.lists(st.floats(1, 500).map(lambda limit: round(limit, 1)), min_size=1, max_size=9, unique=True).map(
        sorted
    ),
    power=st.floats(0.1, 1000),
)
def test_every_power_has_one_of_the_listed_tiers(limits: list[float], power: float) -> None:
    labels = tier_labels(limits)
    place = labels.index(tier_label(power, limits))
    assert place == sum(limit < power for limit in limits)
    assert len({tier_slug(label) for label in labels}) == len(labels)


@pytest.mark.parametrize("tiers_w", [(20, 33, 45, 67, 100, 140, 240), (22.5, 33, 34, 100.5)])
def test_a_tier_as_shown_leads_back_to_its_word_and_has_the_same_address(tiers_w: tuple[float, ...]) -> None:
    words = tier_labels(tiers_w)
    assert [tier_word(tier_text(word)) for word in words] == list(words)
    assert not [word for word in words if "-" in tier_text(word)]
    assert all(tier_slug(tier_text(word)) == tier_slug(word) for word in words if word != UNKNOWN)


def test_names_of_products_are_no_tiers() -> None:
    for name in ("HW-65 W", "AB2-65 Wall", "C1-45-65 W", "3-5 V"):
        assert tier_text(name) == name
