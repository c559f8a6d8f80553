"""A fit in plain sentences: what moved, what it is worth, what the readings cannot tell, what is left."""

from collections.abc import Sequence
from math import sqrt
from typing import Final

import numpy as np

from soilx.bench.fit_identifiability import NOT_TOLD, ONE_SIDED, ROUGH, Told, identifiability
from soilx.bench.fit_intervals import LINEARISED
from soilx.bench.fit_residuals import far_readings, residual_series
from soilx.bench.fit_result import Fit, Fitted
from soilx.bench.observations import FITTED_QUANTITIES, UNITS
from soilx.wording import MODEL_LEAVES_OUT

LIMITS_OF_INTERVALS: Final = (
    "The intervals hold for the soil's inventory, the dose and the volumes as they are written down: the "
    "errors of those are not in them."
)
BENCH_IS_NOT_FIELD: Final = (
    "Bypass, dispersivity and dissolution rate belong to this packed column and this sieved product; the "
    "soil's selectivity, capacity and dissolved sodium can go to the field."
)
_NAMES: Final = {"ec": "EC"}
_KEPT_TOO_MUCH: Final = 1.5
"""Water kept over water to fill up, from which it is said."""
_MOST_NAMED: Final = 3


def fit_sentences(fit: Fit) -> tuple[str, ...]:
    """All that has to be said of a fit, in reading order.

    Parameters
    ----------
    fit : Fit
    """
    told = identifiability(fit)
    return (
        _what_was_done(fit),
        _how_well(fit),
        *(parameter_sentence(one) for one in told),
        *_not_told(fit, told),
        *_together(fit, told),
        *_calibrations(fit),
        *_misfit(fit),
        *residual_sentences(fit),
        *water_sentences(fit),
        LIMITS_OF_INTERVALS,
        *_carrying(fit, told),
        BENCH_IS_NOT_FIELD,
        MODEL_LEAVES_OUT,
        *(f"Not used: {said}" for said in fit.observations.left_out),
        *(f"Taken for granted: {said}" for said in fit.observations.notes),
    )


def _name(quantity: str) -> str:
    return _NAMES.get(quantity, quantity)


def _joined(names: Sequence[str], word: str = "and") -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {word} {names[-1]}"


def _number(value: float) -> str:
    return f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"


def _with_unit(value: float, fitted: Fitted) -> str:
    return f"{_number(value)} {fitted.parameter.unit}".rstrip()


def _what_was_done(fit: Fit) -> str:
    observations = fit.observations
    return (
        f"{len(fit.parameters)} parameter(s) fitted to {len(fit.met)} readings of "
        f"{_joined([_name(q) for q in observations.quantities])} from {len(observations.columns)} column(s) "
        f"of {observations.soil.name}, by weighted least squares; logarithms and logits keep each within its "
        "limits."
    )


def _how_well(fit: Fit) -> str:
    before, after = (
        sqrt(float(np.mean(np.square([getattr(met, name) for met in fit.met]))))
        for name in ("residual_before", "residual")
    )
    return (
        f"The prediction before the fit missed the readings by {_number(before)} of their standard errors "
        f"(root mean square), the fit misses them by {_number(after)}."
    )


def parameter_sentence(told: Told) -> str:
    """One parameter: value, 95 % interval, what it was before, and how well it is told."""
    fitted, interval = told.fitted, told.fitted.interval
    title = fitted.parameter.title[0].upper() + fitted.parameter.title[1:]
    moved = f"{_with_unit(fitted.start, fitted)} before the fit"
    if told.verdict == NOT_TOLD:
        return f"{title}: cannot be told from these readings ({told.why}); {moved}."
    if told.verdict == ONE_SIDED:
        end, word = (interval.high, "at most") if interval.open_low else (interval.low, "at least")
        side = "lower" if interval.open_low else "upper"
        at = fitted.limits[0] if interval.open_low else fitted.limits[1]
        return (
            f"{title}: {word} {_with_unit(end, fitted)} (95 %); everything from there to the {side} limit of "
            f"the search, {_with_unit(at, fitted)} ({fitted.parameter.whose}), meets the readings; {moved}."
        )
    words = f"{title}: {_with_unit(fitted.value, fitted)}, 95 % between {_number(interval.low)} and "
    words += f"{_number(interval.high)}; {moved}"
    if told.verdict == ROUGH:
        words += "; told roughly"
    if fitted.at_limit:
        words += f"; it ended at the {fitted.at_limit} limit of the search ({fitted.parameter.whose})"
    if interval.method == LINEARISED:
        words += "; the interval is linearised, since the search for its ends did not settle"
    elif not 0.8 < interval.width / fitted.linearised.width < 1.25:
        words += (
            f"; the model bends here: straight lines would give {_number(fitted.linearised.low)} to "
            f"{_number(fitted.linearised.high)}"
        )
    return words + "."


def _read_and_missing(fit: Fit) -> tuple[list[str], list[str]]:
    every = [(_name(q), q in fit.observations.quantities) for q in FITTED_QUANTITIES]
    return [name for name, present in every if present], [name for name, present in every if not present]


def _not_told(fit: Fit, told: tuple[Told, ...]) -> list[str]:
    hidden = [one.fitted.parameter.title for one in told if one.verdict == NOT_TOLD]
    if not hidden:
        return []
    read, missing = _read_and_missing(fit)
    remedy = f"read {_joined(missing)} of the same portions as well, or fit" if missing else "fit"
    return [
        f"With only {_joined(read)} given, {_joined(hidden)} cannot be told; {remedy} fewer "
        "parameters at once."
    ]


def _together(fit: Fit, told: tuple[Told, ...]) -> list[str]:
    read, missing = _read_and_missing(fit)
    # what was not read may tell them apart; where all was read, only fewer parameters can
    opening = f"With only {_joined(read)} given, " if missing else ""
    said = []
    for number, one in enumerate(told):
        later = {other.fitted.parameter.title for other in told[number + 1 :]}
        for title, correlation in one.together:
            if title in later:
                way = "both up or both down" if correlation > 0 else "one up and the other down"
                sentence = (
                    f"{opening}{one.fitted.parameter.title} and {title} are told only together (correlation "
                    f"{correlation:+.2f}): {way}, and the readings hardly change."
                )
                said.append(sentence[0].upper() + sentence[1:])
    return said


def _calibrations(fit: Fit) -> list[str]:
    said = []
    for quantity, factor in fit.calibration.items():
        off = 100 * (factor - 1)
        stated = 100 * fit.observations.calibration[quantity]
        if abs(off) >= 0.5:
            way = "high" if off > 0 else "low"
            sentence = (
                f"Readings of {_name(quantity)} are taken to be {abs(off):.1f} % too {way} as a whole; the "
                f"instrument's shared error is {stated:.3g} %"
            )
            much = abs(off) > 2 * stated
            said.append(sentence + ("; check it with a standard solution." if much else "."))
    return said


def _misfit(fit: Fit) -> list[str]:
    if fit.misfit == 1.0:
        return []
    return [
        f"The readings lie {_number(fit.misfit)} times further from the model than the instruments' errors "
        "explain: something is at work that the model leaves out, or an error is larger than stated. The "
        "intervals are widened by that factor; take the parameters as those of a rough description, not of "
        "the soil."
    ]


def _carrying(fit: Fit, told: tuple[Told, ...]) -> list[str]:
    """Warning where the fitted soil should not go to the field as it is."""
    of_soil = ("sodium_selectivity", "cation_exchange_capacity", "soluble_sodium")
    weak = [
        one.fitted.parameter.title
        for one in told
        if one.fitted.parameter.key in of_soil and one.verdict in (NOT_TOLD, ONE_SIDED)
    ]
    if weak:
        return [
            f"Before this soil goes to the field: this run does not pin down {_joined(weak)}; keep what the "
            "report says there, and fit again without."
        ]
    if fit.misfit > 1:
        return ["Before this soil goes to the field: the model does not meet this run within its errors."]
    return []


def residual_sentences(fit: Fit) -> list[str]:
    """What the fit leaves: patterns by column and quantity, and single readings far off."""
    patterns = [
        f"{_name(one.quantity)} of {one.name}: {one.pattern}." for one in residual_series(fit) if one.pattern
    ]
    far = far_readings(fit)
    if not patterns and not far:
        return ["What the fit leaves shows no pattern, and no reading lies far off."]
    said = [f"Pattern of what is left, {pattern}" for pattern in patterns]
    for met in far[:_MOST_NAMED]:
        reading = met.reading
        said.append(
            f"{_name(reading.quantity)} of {reading.arm} {reading.replicate}, portion "
            f"{reading.portion}: read "
            f"{_number(reading.value)}, model {_number(met.after)} {UNITS[reading.quantity]}, "
            f"{abs(met.residual):.1f} standard errors apart."
        )
    if len(far) > _MOST_NAMED:
        said.append(f"{len(far) - _MOST_NAMED} more readings lie more than three standard errors off.")
    return said


def water_sentences(fit: Fit) -> list[str]:
    """Where the volumes say that a column held another amount of water than its drained water."""
    said = []
    for column in fit.observations.columns:
        kept, filling = column.kept_ml, column.filling_ml
        if kept is None or column.scenario.soil_mass is None:
            continue
        if kept > _KEPT_TOO_MUCH * filling and kept - filling > 2:
            soil = column.scenario.soil
            held = soil.initial_water + kept / 1000 / column.scenario.soil_mass
            said.append(
                f"{column.name} kept {kept:.0f} mL before its first portion was taken away, where filling up "
                f"takes {filling:.0f} mL: it held about {held:.2g} L/kg then, against "
                f"{soil.drained_water:.2g} L/kg of drained water, or stood under water. The model's pore "
                "volume is the smaller one."
            )
    return said
