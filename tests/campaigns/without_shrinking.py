"""A profile for Hypothesis: the same examples as ever, but no search for a smaller one, since any failure will do."""

from hypothesis import Phase, settings

PROFILE = "without-shrinking"
settings.register_profile(
    PROFILE, deadline=None, derandomize=True, phases=[Phase.explicit, Phase.reuse, Phase.generate]
)
