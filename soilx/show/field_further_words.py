"""Two further ways to a rate, in words: the solution method for a brine, and layer by layer."""

from __future__ import annotations

from collections.abc import Mapping

from soilx.chemistry.cation_exchange import DEFAULT_SELECTIVITY, sodium_adsorption_ratio_beside
from soilx.errors import SoilxError
from soilx.practice.dose.requirement_layers import requirement_by_layer
from soilx.practice.dose.solution_method import solution_requirement
from soilx.practice.soil_test.report import Report
from soilx.practice.soil_test.report_layers import layers_of
from soilx.show.field_answer import Answer
from soilx.show.word_sheet import Block, folded, grid, line, points


def brine_block(answer: Answer) -> Block:
    """The solution method, and whether this is a soil for it, behind one line.

    Parameters
    ----------
    answer : Answer
    """
    title = "A brine soil: the solution method"
    selectivity = DEFAULT_SELECTIVITY if answer.soil is None else answer.soil.selectivity
    target = answer.aim.target_esp_pct
    sar = float(sodium_adsorption_ratio_beside(target, selectivity=selectivity))
    try:
        found = solution_requirement(answer.report, target_sar=sar)
    except SoilxError as refused:
        return folded(title, line(f"It cannot be reckoned. {refused}"))
    rate = float(found.pure.to("t/ha").magnitude)
    return folded(
        title,
        line(
            f"For soils whose sodium is mostly in the water, as after a salt spill: {rate:.3g} t/ha of pure "
            f"gypsum would bring the saturated paste to SAR {sar:.3g}, the SAR beside ESP {target:.3g}, with "
            "all of its sodium still in it. What water carries off first needs no gypsum."
        ),
        line("This soil is such a one." if found.applies else "This soil is not such a one.", "strong"),
        points(found.reasons),
    )


def layers_blocks(table: Mapping[str, Report], answer: Answer) -> list[Block]:
    """A rate for each layer of the profile that the soil test is of; nothing where it is the only one.

    Parameters
    ----------
    table : mapping of str to Report
        What was loaded; samples of one profile share their site.
    answer : Answer
    """
    site = answer.report.site
    if site is None or sum(report.site == site for report in table.values()) < 2:
        return []
    title = f"Layer by layer: every sample of {site}"
    try:
        found = requirement_by_layer(
            layers_of(table.values(), site), target_esp=answer.aim.target_esp_pct, depth=answer.aim.depth
        )
    except SoilxError as refused:
        return [folded(title, line(f"It cannot be reckoned. {refused}"))]
    rows = [
        (
            str(row["layer"]),
            f"{float(row['from_cm']):.3g} to {float(row['to_cm']):.3g}",
            f"{float(row['esp_pct']):.3g}",
            f"{float(row['pure_t_per_ha']):.3g}",
        )
        for row in found.records()
    ]
    return [
        folded(
            title,
            grid(("Sample", "Depth, cm", "ESP, %", "Pure gypsum, t/ha"), rows, caption="By the hand formula"),
            points(found.sentences),
        )
    ]
