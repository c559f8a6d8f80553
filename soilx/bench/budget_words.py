"""What a bench budget says in sentences, and what it cannot tell."""

from typing import Final

from soilx.bench.budget import Budget, Closing, ColumnBudget, Displaced
from soilx.bench.budget_pair import FEW, Pair, pair_of
from soilx.bench.uncertain import Uncertain
from soilx.practice.soil_test.soil_test_scatter import scatter_of_difference
from soilx.wording import DEIONISED_IS_HARSH

_TAP: Final = ("tap", "mains", "softened")
_PARTS: Final = (
    ("exchangeable", "the exchangeable sodium before"),
    ("soluble", "the dissolved sodium before"),
    ("added", "the sodium of the water"),
    ("leached", "the sodium of the leachate"),
    ("left_on_clay", "the exchangeable sodium after"),
    ("left_in_water", "the water left in the soil"),
)
_MATTERS: Final = (
    "exchangeable_sodium",
    "extract_sodium",
    "saturation_percentage",
    "soluble_sodium",
    "exchangeable_sodium_after",
)


def sentences_of(budget: Budget) -> tuple[str, ...]:
    """All that a budget says, column by column, then the pair, then what limits it.

    Parameters
    ----------
    budget : Budget
    """
    said: list[str] = []
    for column in budget.columns.values():
        said += column_sentences(column)
    if "gypsum" in budget.record.arms and "control" in budget.record.arms:
        said += pair_sentences(pair_of(budget))
    for (element, arm, replicate), column in budget.others.items():
        name = f"{arm} {replicate}"
        said += [_other(element, name, column), *_named(name, column)]
    for element in ("calcium", "sulfate"):
        if not any(key[0] == element for key in budget.others):
            said.append(f"{element.capitalize()} was not read in the leachate: it has no budget.")
    return (*said, *limits_of(budget))


def column_sentences(column: ColumnBudget) -> list[str]:
    """What one column's sodium budget says.

    Parameters
    ----------
    column : ColumnBudget
        Of sodium.
    """
    name = f"{column.amounts.arm} {column.amounts.replicate}"
    said = [_closing(name, column), _displaced(name, column)]
    after, before = column.esp_after_pct, column.esp_before_pct
    if after is not None and before is not None:
        noise = scatter_of_difference(before.value, after.value)
        change = before - after
        seen = "more" if abs(change.value) > max(noise, change.half_width) else "no more"
        said.append(
            f"{name}: exchangeable sodium went from {_pm(before)} % to {_pm(after)} % of the exchange "
            f"capacity as it was before the run; that is {seen} than two soil tests differ by scatter alone "
            f"({noise:.1f})."
        )
    return [*said, *_named(name, column)]


def _named(name: str, column: ColumnBudget) -> list[str]:
    """What was assumed of a column, each sentence with its name."""
    return [one if one.startswith(name) else f"{name}: {one}" for one in column.amounts.said]


def _closing(name: str, column: ColumnBudget) -> str:
    low, high = (100 * end for end in column.band)
    if column.closure is None:
        missing = [words for key, words in _PARTS if getattr(column.amounts, key) is None]
        return (
            f"{name}: cannot tell whether the budget closes: {' and '.join(missing) or 'nothing'} "
            f"{'were' if len(missing) > 1 else 'was'} not measured."
        )
    found = f"{name}: {_pm(column.closure * 100.0, 0)} % of the sodium was found again"
    if column.amounts.at_least:
        found += ", at least"
    if column.closing is Closing.CLOSES:
        return f"{found}: the budget closes ({low:.0f} to {high:.0f} % with these instruments)."
    if column.closing is Closing.OPEN:
        return (
            f"{found}: the budget does not close ({low:.0f} to {high:.0f} % with these instruments); look "
            "for a portion that was lost, a wrong unit or a turbid reading."
        )
    return (
        f"{found}: cannot tell whether the budget closes ({low:.0f} to {high:.0f} % with these instruments); "
        f"most of the error is from {column.closure.largest() or 'what was not read'}."
    )


def _displaced(name: str, column: ColumnBudget) -> str:
    displaced, amounts = column.displaced, column.amounts
    if displaced is None or amounts.soluble is None:
        return (
            f"{name}: cannot tell dissolved from displaced sodium: write down the sodium of the saturation "
            "extract and its saturation percentage, and read the leachate."
        )
    in_charge = displaced * 0.1
    if column.displacement is Displaced.YES:
        by_soil = column.displaced_by_soil
        soil = (
            f"; the soil itself lost {_pm(by_soil * 0.1, 2)}, which "
            f"{'agrees' if _agree(displaced, by_soil) else 'does not agree'}"
            if by_soil is not None
            else ""
        )
        return (
            f"{name}: {_pm(in_charge, 2)} mmol_c per 100 g came off the clay, besides "
            f"{_pm(amounts.soluble * 0.1, 2)} that were dissolved from the start{soil}."
        )
    if column.displacement is Displaced.NOTHING:
        less = (
            " Even of what was dissolved from the start not all came out."
            if displaced.interval[1] < 0
            else f" Up to {max(displaced.interval[1], 0.0) * 0.1:.2f} mmol_c per 100 g would not be seen."
        )
        return (
            f"{name}: the clay gave up nothing measurable ({_pm(in_charge, 2)} mmol_c per 100 g): what came "
            f"out had been dissolved before.{less}"
        )
    return (
        f"{name}: cannot tell whether sodium came off the clay ({_pm(in_charge, 2)} mmol_c per 100 g): most "
        f"of the error is from {displaced.largest() or 'what was not read'}."
    )


def pair_sentences(pair: Pair) -> list[str]:
    """What gypsum minus control says.

    Parameters
    ----------
    pair : Pair
    """
    said = []
    for difference, words in (
        (pair.leached, "sodium in the leachate"),
        (pair.displaced, "sodium off the clay"),
    ):
        value = difference.value
        if value is None:
            said.append(f"Gypsum minus control, {words}: cannot tell; one of the arms has no figure for it.")
        else:
            verdict = "a difference that is seen" if difference.is_seen else "no difference that can be seen"
            said.append(f"Gypsum minus control, {words}: {_pm(value * 0.1, 2)} mmol_c per 100 g, {verdict}.")
    treated, control = pair.water_ml
    if abs(treated - control) > 0.1 * max(treated, control):
        said.append(
            f"The gypsum arm let {treated:.0f} mL through and the control {control:.0f} mL: the difference "
            "is in sodium and in water alike."
        )
    if pair.replicates < FEW:
        said.append(
            f"{pair.replicates} replicate{'s' if pair.replicates > 1 else ''} of an arm: the errors are "
            f"those of the instruments alone, and two columns of one soil differ by more; run {FEW} or more."
        )
    return said


def limits_of(budget: Budget) -> list[str]:
    """What limits all that is said: errors that were not typed, the water, calcium counted too high."""
    record = budget.record
    said = ["What stands behind ± is half of a 95 % interval."]
    silent = sorted({key for key, _, _ in record.values if key in _MATTERS and not _stated(budget, key)})
    if silent:
        said.append(
            f"No error was written for {', '.join(key.replace('_', ' ') for key in silent)}: taken as exact, "
            "so that the error bars are too short."
        )
    if not record.instruments["sodium"].typed:
        said.append("The errors of the sodium readings are common practice, not yours: write your own.")
    water = record.words.get("water", "").lower()
    if any(word in water for word in _TAP):
        said.append(
            f"The water was {record.words['water']}: its own calcium and sodium take part; a control is run "
            "with deionised water."
        )
    elif water == "deionised":
        said.append(DEIONISED_IS_HARSH)
    for arm, replicate in budget.columns:
        after = record.known("exchangeable_calcium_after", arm=arm, replicate=replicate)
        sodium = record.known("exchangeable_sodium_after", arm=arm, replicate=replicate)
        capacity = record.known("cation_exchange_capacity")
        if after and sodium and capacity and after.value + sodium.value > capacity.value:
            said.append(
                f"{arm} {replicate}: exchangeable calcium after the run is more than the clay holds: gypsum "
                "that had not dissolved was counted with it. The exchange capacity of before is used."
            )
    return said


def _stated(budget: Budget, key: str) -> bool:
    return all(value.stated for (name, _, _), value in budget.record.values.items() if name == key)


def _other(element: str, name: str, column: ColumnBudget) -> str:
    into, leached = column.into, column.amounts.leached
    if into is None or leached is None:
        out = f"{_pm(leached, 2)} mmol/kg" if leached else "an unknown amount"
        return f"{name}: {out} of {element} came out; what was there at the start is not known."
    rest = into - leached
    where = "on the clay, dissolved or as gypsum" if element == "calcium" else "dissolved or as gypsum"
    return (
        f"{name}: of {_pm(into, 1)} mmol/kg {element} {_pm(leached, 1)} came out; {_pm(rest, 1)} should "
        f"still be in the soil, {where}."
    )


def _agree(one: Uncertain, other: Uncertain) -> bool:
    difference = one - other
    return abs(difference.value) <= difference.half_width


def _pm(value: Uncertain, digits: int = 1) -> str:
    """A value with the half width of its 95 % interval."""
    return f"{value.value:.{digits}f} ± {value.half_width:.{digits}f}"
