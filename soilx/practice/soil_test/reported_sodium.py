"""What a soil test says of exchangeable sodium, before any model redistributes it."""

from dataclasses import dataclass

from soilx.column.fields import read_field
from soilx.column.soil import Soil
from soilx.column.soil_fields import REPORT, SOIL_FIELD, SUMMARY


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportedSodium:
    """Exchangeable sodium and the capacity it is held against.

    Attributes
    ----------
    exchangeable : float
        Sodium on the exchanger [mmol_c/kg].
    capacity : float
        Cation exchange capacity [mmol_c/kg].
    basis : str
        Where the two come from, in words.
    """

    exchangeable: float
    capacity: float
    basis: str

    @property
    def esp_pct(self) -> float:
        """100 × exchangeable sodium over CEC [%]."""
        return 100.0 * self.exchangeable / self.capacity

    def above(self, target_esp_pct: float) -> float:
        """Exchangeable sodium beyond a target; 0 where there is none [mmol_c/kg]."""
        return max(0.0, self.exchangeable - self.capacity * target_esp_pct / 100.0)


def reported_sodium(soil: Soil) -> ReportedSodium:
    """Exchangeable sodium over CEC as the soil's own report has them.

    Parameters
    ----------
    soil : Soil
        A soil by its report: exchangeable sodium as reported, with what is dissolved taken off where the
        report's amounts are extractable. By a summary: the ESP it states. By totals, or changed after it was
        read: sodium at equilibrium with the drained water, since nothing else was stated.

    Notes
    -----
    Dissolved sodium is not exchangeable: counted with it, a saline soil's ESP comes out half as high again.
    """
    typed = dict(soil.typed)
    capacity = soil.cation_exchange_capacity
    if soil.changes or typed.get("origin") not in (REPORT, SUMMARY):
        return ReportedSodium(
            exchangeable=capacity * soil.exchangeable_sodium_percentage / 100.0,
            capacity=capacity,
            basis=f"by equilibrium at {soil.drained_water:.3g} L/kg, the soil's drained water",
        )
    if typed["origin"] == SUMMARY:
        share = read_field(
            SOIL_FIELD["exchangeable_sodium_percentage"], typed["exchangeable_sodium_percentage"]
        )
        return ReportedSodium(exchangeable=share * capacity, capacity=capacity, basis="ESP as stated")
    held = read_field(SOIL_FIELD["exchangeable_sodium"], typed["exchangeable_sodium"])
    basis = "exchangeable sodium over CEC, as reported"
    if typed.get("exchangeable_basis") == "extractable":
        dissolved = read_field(SOIL_FIELD["extract_sodium"], typed["extract_sodium"]) * read_field(
            SOIL_FIELD["saturation_percentage"], typed["saturation_percentage"]
        )
        basis = (
            f"extractable {held / 10:.4g} − dissolved {dissolved / 10:.4g} cmol_c/kg of sodium, over CEC, as "
            "reported"
        )
        held -= dissolved
    return ReportedSodium(exchangeable=held, capacity=capacity, basis=basis)
