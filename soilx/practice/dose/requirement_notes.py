"""What has to be said beside a rate: the mistakes that people make with rates, where one may be near."""

from typing import Final

from soilx.practice.dose.product import PURE, Product
from soilx.practice.soil_test.reported_sodium import ReportedSodium

LEAST_ESP_USUAL_PCT: Final = 3.0
"""Below this sodium hardly leaves: 3 to 6 % stays (frenkel1989)."""

SOLUBLE_CARBONATE_PH: Final = 9.0
"""Above it sodium carbonate is in solution and takes up calcium as lime; common practice."""


def notes_of(
    *,
    sodium: ReportedSodium,
    target_esp_pct: float,
    depth: float,
    sampled_depth: float,
    bulk_density: float,
    factor: float,
    product: Product,
    ph: float | None,
) -> tuple[str, ...]:
    """Sentences to show beside a rate.

    Parameters
    ----------
    sodium : ReportedSodium
    target_esp_pct : float
        [%]
    depth, sampled_depth : float
        Treated, and as the test stands for [mm].
    bulk_density : float
        [kg/L]
    factor : float
    product : Product
    ph : float or None
        Of the saturated paste.
    """
    notes = [f"The rate stands for {depth / 10:.3g} cm of soil at a bulk density of {bulk_density:.3g} kg/L."]
    if sodium.above(target_esp_pct) == 0.0:
        notes.append(
            f"ESP {sodium.esp_pct:.3g} is at the target of {target_esp_pct:.3g} or below it: there is no "
            "sodium for gypsum to displace. Gypsum cures neither salt alone, nor compaction, nor clay."
        )
    elif target_esp_pct < LEAST_ESP_USUAL_PCT:
        notes.append(
            f"A target of ESP {target_esp_pct:.3g} is hardly reached: 3 to 6 % of the exchanger stays with "
            "sodium where columns were leached (Frenkel et al. 1989)."
        )
    if depth > sampled_depth * (1 + 1e-9):
        notes.append(
            f"Treated are {depth / 10:.3g} cm, sampled were {sampled_depth / 10:.3g} cm: what lies below is "
            "taken to be the same and nobody looked. Sample it, and reckon layer by layer."
        )
    elif depth < sampled_depth * (1 - 1e-9):
        notes.append(
            f"Treated are {depth / 10:.3g} cm of the {sampled_depth / 10:.3g} cm that were sampled: one ESP "
            "is taken for all of it."
        )
    if product == PURE:
        notes.append(
            "Pure gypsum, which is not what is in the bag: give the product's purity and moisture for what "
            "to spread."
        )
    if factor == 1.0:
        notes.append(
            "No factor: every calcium is taken to displace sodium. Usual are 1.1 to 1.3 †, and 1.25 in print."
        )
    else:
        notes.append(
            f"The factor {factor:g} is in the rate. Where a laboratory's rate has its own, do not apply it "
            "again."
        )
    if ph is not None and ph > SOLUBLE_CARBONATE_PH:
        notes.append(
            f"pH {ph:.3g} is above {SOLUBLE_CARBONATE_PH:g}: soluble carbonate may turn mixed-in gypsum to "
            "lime before it works. Lay it on the surface or leach first, with qualified advice."
        )
    return tuple(notes)
