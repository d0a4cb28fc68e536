"""Figures as plain data, for JSON."""

from dataclasses import asdict

from lidoff.figures.figure import Figure


def plain_figure(figure: Figure) -> dict[str, object]:
    """One figure as ``lidoff figures --format json`` prints it."""
    return {
        "id": figure.id,
        "of": {name: value for name, value in asdict(figure.of).items() if value is not None},
        "value": figure.value,
        "unit": figure.unit,
        "expanded_uncertainty": figure.expanded_uncertainty,
        "inputs": [asdict(one) for one in figure.inputs],
        "assumed": [asdict(one) for one in figure.assumed],
        "method": figure.method,
        "source": figure.source,
        "absent": figure.absent,
    }
