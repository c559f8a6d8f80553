"""Outside values on clear and cloudy water. All are recalled, so they are context: none of them gates."""

from collections.abc import Mapping
from typing import Final

from soilx.chemistry.clarity import threshold_electrolyte_concentration, turbidity_concentration
from soilx.verification.claim import Claim, Label
from soilx.verification.printed import table


def thresholds(esp_pct: tuple[str, ...]) -> Mapping[str, float]:
    """Threshold electrolyte concentration by ESP [mmol_c/L]."""
    return {f"{one} mmol_c/L": float(threshold_electrolyte_concentration(float(one))) for one in esp_pct}


_THRESHOLD: Final = table("""
ESP       0    5.8  8.9  21   35
mmol_c/L  0.6  2.3  3.1  9.5  18
""")

CLAIMS: Final = (
    Claim(
        id="clarity.threshold",
        claim="Electrolyte below which a soil's permeability falls, by its exchangeable sodium.",
        source="quirk_schofield1955",
        label=Label.RECALLED,
        inputs={"esp_pct": ("0", "5.8", "8.9", "21", "35")},
        printed=_THRESHOLD,
        compute=thresholds,
        unit="mmol_c/L",
        gating=False,
        note="One illitic soil.",
    ),
    Claim(
        id="clarity.turbidity",
        claim="Turbid water appears at roughly a quarter of the threshold.",
        source="quirk_schofield1955",
        label=Label.RECALLED,
        printed="0.25",
        compute=lambda: float(turbidity_concentration(21.0) / threshold_electrolyte_concentration(21.0)),
        gating=False,
    ),
)
