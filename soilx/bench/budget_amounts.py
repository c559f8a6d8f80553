"""What went into one bench column of an element and what came out, each amount with its error."""

from dataclasses import dataclass, field

from soilx.bench.budget_leachate import ELEMENTS, leached, per_litre
from soilx.bench.measured import Measured
from soilx.bench.record import Portion, Record
from soilx.bench.uncertain import NOTHING, Uncertain
from soilx.chemistry.ions import GYPSUM_MOLAR_MASS


@dataclass(slots=True, kw_only=True)
class Amounts:
    """One element's amounts in one column, per kilogram of oven-dry soil [mmol/kg]; None where not known.

    Attributes
    ----------
    element, arm, replicate
    exchangeable, soluble, added, dosed : Uncertain or None
        At the start on the clay and dissolved; with the water; with gypsum.
    leached : Uncertain or None
        In all portions, the blank taken off; None where nothing was read.
    left_on_clay, left_in_water : Uncertain or None
        At the end.
    at_least : bool
        The leached amount is a lower bound: a portion is above range or was not read.
    said : list of str
        What was assumed or has to be known.
    """

    element: str
    arm: str
    replicate: int
    exchangeable: Uncertain | None = None
    soluble: Uncertain | None = None
    added: Uncertain | None = None
    dosed: Uncertain | None = None
    leached: Uncertain | None = None
    left_on_clay: Uncertain | None = None
    left_in_water: Uncertain | None = None
    at_least: bool = False
    said: list[str] = field(default_factory=list)


def amounts_of(record: Record, arm: str, replicate: int, element: str) -> Amounts:
    """Amounts of one element in one column.

    Parameters
    ----------
    record : Record
    arm, replicate
        Which column.
    element : str
        "sodium", "calcium" or "sulfate".

    Raises
    ------
    SoilxError
        If the record does not say how much soil there is.
    """
    portions = record.arm(arm).replicates[replicate]
    found = Amounts(element=element, arm=arm, replicate=replicate)
    soil = uncertain(record.needed("soil_mass", why="amounts are told per kilogram of soil"), "soil mass")
    clay = record.known(f"exchangeable_{element}", arm=arm, replicate=replicate)
    if clay is not None:
        # on the clay it is counted as charge
        found.exchangeable = uncertain(clay, f"{element} of the clay before") / abs(ELEMENTS[element].charge)
    found.soluble = _soluble(record, arm, replicate, element)
    found.added = _added(record, found, portions, soil)
    found.dosed = _dosed(record, found, soil)
    out, said, found.at_least = leached(record, arm, replicate, element)
    found.leached = None if out is None else out / soil
    found.said += said
    after = record.known(f"exchangeable_{element}_after", arm=arm, replicate=replicate)
    if after is not None:
        source = f"{element} of the clay after, {arm} {replicate}"
        found.left_on_clay = uncertain(after, source) / abs(ELEMENTS[element].charge)
    found.left_in_water = _left_in_water(record, found, portions)
    return found


def uncertain(measured: Measured, source: str) -> Uncertain:
    """A measured value with its error under a name."""
    return Uncertain.of(measured.value, measured.error, source)


def _soluble(record: Record, arm: str, replicate: int, element: str) -> Uncertain | None:
    """Dissolved before the first water: as stated, or an extract's strength times the water of its paste."""
    stated = record.known(f"soluble_{element}", arm=arm, replicate=replicate)
    if stated is not None:
        return uncertain(stated, f"dissolved {element} before") / abs(ELEMENTS[element].charge)
    extract = record.known(f"extract_{element}", arm=arm, replicate=replicate)
    paste = record.known("saturation_percentage", arm=arm, replicate=replicate)
    if extract is None or paste is None:
        return None
    return uncertain(extract, f"{element} of the extract") * uncertain(paste, "saturation percentage")


def _added(
    record: Record, found: Amounts, portions: tuple[Portion, ...], soil: Uncertain
) -> Uncertain | None:
    strength = record.known(f"water_{found.element}", arm=found.arm, replicate=found.replicate)
    if strength is None:
        if record.words.get("water", "").lower() in ("deionised", "distilled"):
            return NOTHING
        found.said.append(
            f"nobody wrote how much {found.element} the water holds: taken as none; if it was not deionised, "
            f'write "# water_{found.element},value,error".'
        )
        return NOTHING
    poured = [portion.added_ml for portion in portions]
    if any(volume is None for volume in poured):
        found.said.append(f"water poured on {found.arm} {found.replicate} was not written down.")
        return None
    litres = sum(volume or 0.0 for volume in poured) / 1000.0
    return uncertain(strength, f"{found.element} of the water") * litres / soil


def _dosed(record: Record, found: Amounts, soil: Uncertain) -> Uncertain:
    """Calcium or sulfate put in with gypsum, by purity and moisture."""
    arm, replicate, element, said = found.arm, found.replicate, found.element, found.said
    if element == "sodium":
        return NOTHING
    dose = record.known("dose", arm=arm, replicate=replicate)
    if dose is None or dose.value == 0:
        return NOTHING
    purity, moisture = record.known("purity"), record.known("moisture")
    if purity is None or moisture is None:
        said.append("purity or moisture of the product was not written down: taken as pure and dry.")
    purity, moisture = purity or Measured(value=1.0), moisture or Measured(value=0.0)
    dry = Uncertain(1.0) - uncertain(moisture, "moisture of the product")
    pure = uncertain(dose, f"dose of {arm} {replicate}") * uncertain(purity, "purity of the product") * dry
    return pure * (1e6 / GYPSUM_MOLAR_MASS) / soil


def _left_in_water(record: Record, found: Amounts, portions: tuple[Portion, ...]) -> Uncertain | None:
    """Dissolved at the end, in the water that the soil still holds.

    Notes
    -----
    At the top it is the water poured on, at the bottom the last leachate: halfway between, and anything
    between as likely.
    """
    column = f"{found.arm} {found.replicate}"
    read = [per_litre(record, portion, found.element, column) for portion in reversed(portions)]
    last = next((strength for strength in read if strength is not None), None)
    water = water_left(record, found, portions)
    if last is None or water is None:
        return None
    poured = record.known(f"water_{found.element}", arm=found.arm, replicate=found.replicate)
    top = poured.value if poured is not None else 0.0
    between = Uncertain.of(0.0, abs(last.value - top) / 12**0.5, f"pore water of {column}")
    return ((last + top) / 2.0 + between) * water


def water_left(record: Record, found: Amounts, portions: tuple[Portion, ...]) -> Uncertain | None:
    """Water in the soil at the end [L/kg]: weighed, or between drained and what can still be in it."""
    source = f"water left in {found.arm} {found.replicate}"
    weighed = record.known("water_left", arm=found.arm, replicate=found.replicate)
    if weighed is not None:
        return uncertain(weighed, source)
    drained = record.known("drained_water")
    if drained is None:
        return None
    most = drained.value
    start, paste = record.known("initial_water"), record.known("saturation_percentage")
    if start is not None and all(portion.added_ml is not None for portion in portions):
        kept = sum((portion.added_ml or 0.0) - portion.volume_ml for portion in portions) / 1000.0
        most = start.value + kept / record.soil_mass
    if paste is not None:
        # more than the saturated soil holds stood on top of it, or evaporated
        most = min(most, paste.value)
    low, high = sorted((drained.value, max(most, 0.0)))
    return Uncertain.of((low + high) / 2.0, (high - low) / 12**0.5, source)
