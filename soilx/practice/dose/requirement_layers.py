"""Requirement layer by layer, and what one average over the depth would have said instead."""

from collections.abc import Sequence
from dataclasses import dataclass

from soilx.column.fields import Given
from soilx.errors import LimitError, refuse
from soilx.practice.dose.requirement import Requirement, hand_requirement
from soilx.practice.dose.target import read_target
from soilx.practice.soil_test.report import Report
from soilx.practice.soil_test.tested_soil import Tested, tested
from soilx.units import Kind, Quantity, as_quantity, express, quantity, read


@dataclass(frozen=True, slots=True, kw_only=True)
class LayeredRequirement:
    """Requirements of the layers of one profile, from the top down.

    Attributes
    ----------
    layers : tuple of Requirement
        Each for its own depth; the lowest may be treated in part.
    target_esp_pct : float
        [%]
    average_esp_pct : float
        Sodium of all layers over their capacity, by soil mass [%].
    from_average_t_per_ha : float
        Pure gypsum that the average alone would ask for.
    """

    layers: tuple[Requirement, ...]
    target_esp_pct: float
    average_esp_pct: float
    from_average_t_per_ha: float

    @property
    def pure(self) -> Quantity:
        """Pure gypsum for all layers, without any factor, as a rate per area."""
        return quantity(sum(float(layer.pure.to("t/ha").magnitude) for layer in self.layers), "t/ha")

    def records(self) -> list[dict[str, str | float]]:
        """One plain row a layer: where it lies, its ESP, its rate."""
        rows: list[dict[str, str | float]] = []
        top = 0.0
        for layer in self.layers:
            depth = express(layer.ground.depth or 0.0, Kind.DEPTH, "cm")
            rows.append(
                {
                    "layer": layer.name,
                    "from_cm": top,
                    "to_cm": top + depth,
                    "esp_pct": layer.sodium.esp_pct,
                    "pure_t_per_ha": layer.in_units["pure"]["t_per_ha"],
                }
            )
            top += depth
        return rows

    @property
    def sentences(self) -> tuple[str, ...]:
        """The sum, and how far one ESP for the whole depth would have been off."""
        layered = float(self.pure.to("t/ha").magnitude)
        said = f"Layer by layer: {layered:.3g} t/ha of pure gypsum."
        missed = layered - self.from_average_t_per_ha
        if missed <= 0.005 * layered:
            return (said,)
        return (
            said,
            f"One ESP of {self.average_esp_pct:.3g} for the whole depth would ask for "
            f"{self.from_average_t_per_ha:.3g} t/ha: a layer below the target hides what others have "
            "too much.",
        )


def requirement_by_layer(
    layers: Sequence[Tested], *, target_esp: float | Given, depth: Given | None = None
) -> LayeredRequirement:
    """Gypsum requirement of a profile, each layer by its own test.

    Parameters
    ----------
    layers : sequence of Soil or Report
        From the top down, without gaps: a layer begins where the one above it ends. Reports say where they
        were taken.
    target_esp : float, str or Quantity
        Exchangeable sodium percentage that is wanted in each layer.
    depth : str or Quantity, optional
        Depth that is treated, from the surface; all that was sampled unless given.

    Raises
    ------
    LimitError
        If there are no layers, they leave a gap or overlap, or the depth is more than was sampled.
    """
    if not layers:
        raise LimitError("layers: there are none; the limit is a profile's, one at least; give its tests.")
    target = read_target(target_esp)
    _require_stacked(layers)
    sampled = sum(tested(layer).depth for layer in layers)
    left = sampled if depth is None else read(depth, Kind.DEPTH, name="depth")
    if left > sampled * (1 + 1e-9):
        refuse(
            "depth",
            left / 10.0,
            "cm",
            wrong=f"is deeper than the {sampled / 10.0:.4g} cm that were sampled",
            limit="nobody looked below",
            remedy="sample the layer below, or treat what was sampled",
        )
    found: list[Requirement] = []
    for layer in layers:
        treated = min(left, tested(layer).depth)
        if treated <= 1e-9 * sampled:
            break
        thickness = as_quantity(treated, Kind.DEPTH, "mm")
        found.append(hand_requirement(layer, target_esp=target, depth=thickness))
        left -= treated
    if not found:
        raise LimitError("depth = 0: treats no soil; the limit is a depth above 0; give the depth to treat.")
    masses = [(layer.ground.depth or 0.0) * (layer.ground.bulk_density or 0.0) for layer in found]
    sodium = sum(mass * layer.sodium.exchangeable for mass, layer in zip(masses, found, strict=True))
    capacity = sum(mass * layer.sodium.capacity for mass, layer in zip(masses, found, strict=True))
    excess = max(0.0, sodium - capacity * target / 100.0) / 2.0 / sum(masses)
    average = express(excess, Kind.GYPSUM_RATE, "g/kg") * sum(masses) / 100.0
    return LayeredRequirement(
        layers=tuple(found),
        target_esp_pct=target,
        average_esp_pct=100.0 * sodium / capacity,
        from_average_t_per_ha=average,
    )


def _require_stacked(layers: Sequence[Tested]) -> None:
    """Raise where reports say that they do not lie on one another."""
    below: float | None = None
    for layer in layers:
        top = layer.top if isinstance(layer, Report) else None
        if top is not None and below is not None and abs(top - below) > 1e-6 * max(top, below, 1.0):
            refuse(
                f"top of {layer.name}",
                top / 10.0,
                "cm",
                wrong="leaves a gap below the layer above it" if top > below else "overlaps the layer above",
                limit=f"the layer above ends at {below / 10.0:.4g} cm",
                remedy="give the layers of one profile from the top down, all of them",
            )
        below = (below or 0.0 if top is None else top) + tested(layer).depth
