"""Figures as plain data, for JSON."""

from lidoff.figures.figure import Corner, Figure


def plain_figure(figure: Figure) -> dict[str, object]:
    """One figure as ``lidoff figures --format json`` prints it."""
    return {
        "id": figure.id,
        "of": _corner(figure.of),
        "value": figure.value,
        "unit": figure.unit,
        "expanded_uncertainty": figure.expanded_uncertainty,
        "inputs": [{"field": one.field, "value": one.value, "unit": one.unit} for one in figure.inputs],
        "assumed": [
            {"id": one.id, "value": one.value, "unit": one.unit, "source": one.source} for one in figure.assumed
        ],
        "method": figure.method,
        "source": figure.source,
        "absent": figure.absent,
    }


def _corner(of: Corner) -> dict[str, object]:
    said = {"port": of.port, "mains_v": of.mains_v, "mains_hz": of.mains_hz, "output_v": of.output_v}
    return {name: value for name, value in said.items() if value is not None}
