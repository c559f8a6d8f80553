"""What a report itself says of how well its numbers are known, as ranges to draw from."""

from soilx.practice.dose.uncertain_inputs import CAPACITY, DENSITY, SODIUM, InputRange
from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.report import Report


def ranges_of_report(report: Report) -> tuple[InputRange, ...]:
    """Ranges of the inputs that a report estimates, rather than prints.

    Parameters
    ----------
    report : Report
        Bulk density or exchangeable sodium from texture, SAR or another extract carry a range of their own. A
        number that was measured carries none: the scatter of soil tests is `input_ranges`' own.

    Returns
    -------
    tuple of InputRange
        For `input_ranges(scenario, known=...)`.
    """
    found: dict[str, Estimate | None] = {
        SODIUM: report.exchangeable.get("Na"),
        CAPACITY: report.cation_exchange_capacity,
        DENSITY: report.bulk_density,
    }
    capacity, esp = report.cation_exchange_capacity, report.esp
    if found[SODIUM] is None and capacity is not None and esp is not None:
        found[SODIUM] = esp.scaled(capacity.value / 100.0, capacity.unit)
    return tuple(
        InputRange(key=key, value=each.value, low=each.low, high=each.high, source=each.source or "given")
        for key, each in found.items()
        if each is not None and not each.exact and each.low > 0
    )
