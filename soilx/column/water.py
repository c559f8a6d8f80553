"""Waters that are applied to a soil: irrigation, rain, the bottle of the bench."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Self

from soilx.chemistry.conductivity import electrical_conductivity
from soilx.chemistry.ions import BICARBONATE, CALCIUM, CHLORIDE, MAGNESIUM, POTASSIUM, SODIUM, SULFATE, Ion
from soilx.chemistry.soil_solution import Solution, sodium_adsorption_ratio
from soilx.column.charges import require_charge_balance
from soilx.column.fields import Field, Given, Typed, by_key, read_field, refuse_unknown, typed_text
from soilx.errors import LimitError, refuse
from soilx.units import Kind

DEIONISED_NAME: Final = "deionised"

LEAST_CHARGE: Final = 6e-4
"""Cations of deionised water as it is counted here; less is not a water anyone has [mmol_c/L]."""

NEUTRAL: Final = 1e-9
"""How far an applied water may be from electroneutral, relative to its charge."""


def _dissolved(symbol: str, ion: Ion) -> Field:
    return Field(
        key=ion.name,
        column=f"{symbol}_mmol_c_per_l",
        title=f"{ion.name} of the water",
        unit="mmol_c/L",
        kind=Kind.CONCENTRATION,
        ion=ion,
        low=0.0,
        high=700.0,
        needed_by=_WATER,
        allowed_in=_WATER,
    )


_WATER: Final = frozenset({"water"})

# fmt: off
WATER_FIELDS: Final[tuple[Field, ...]] = (
    Field(key="name", column="name", title="name of the water", needed_by=_WATER, allowed_in=_WATER),
    _dissolved("na", SODIUM), _dissolved("ca", CALCIUM), _dissolved("mg", MAGNESIUM),
    _dissolved("k", POTASSIUM), _dissolved("hco3", BICARBONATE),
    Field(key="carbonate", column="co3_mmol_c_per_l", title="carbonate of the water", unit="mmol_c/L",
          kind=Kind.CHARGE_CONCENTRATION, low=0.0, high=700.0, needed_by=_WATER, allowed_in=_WATER),
    _dissolved("cl", CHLORIDE), _dissolved("so4", SULFATE),
    Field(key="ph", column="ph", title="pH of the water", kind=Kind.RATIO, low=2.0, high=12.0,
          allowed_in=_WATER),
    Field(key="conductivity", column="ec_ds_per_m", title="conductivity of the water at 25 °C", unit="dS/m",
          kind=Kind.CONDUCTIVITY, low=0.0, high=60.0, allowed_in=_WATER),
)
# fmt: on
WATER_FIELD: Final[Mapping[str, Field]] = MappingProxyType(dict(by_key(WATER_FIELDS)))
_IONS: Final = (
    "sodium",
    "calcium",
    "magnesium",
    "potassium",
    "bicarbonate",
    "carbonate",
    "chloride",
    "sulfate",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Water:
    """A water with what is dissolved in it.

    Attributes
    ----------
    name : str
        As on the screen.
    solution : Solution
        Electroneutral; carbonate counted with bicarbonate as charge [mmol/L].
    defaults : tuple of (str, str)
        What was not given, and what was taken instead.
    yields : tuple of str
        What gave way so that charges balance.
    typed : tuple of (str, str)
        As typed; the water can be built from it again.

    Raises
    ------
    LimitError
        If the solution is not electroneutral, or holds less than deionised water does.
    """

    name: str
    solution: Solution
    defaults: Typed = ()
    yields: tuple[str, ...] = ()
    typed: Typed = ()

    def __post_init__(self) -> None:
        if self.solution.cation_charge < LEAST_CHARGE * (1 - NEUTRAL):
            refuse(
                f"cations of water {self.name}",
                self.solution.cation_charge,
                "mmol_c/L",
                wrong="are less than deionised water holds",
                limit=f"the limit is {LEAST_CHARGE:g} mmol_c/L, so that no ratio divides by zero",
                remedy='take the water "deionised"',
            )
        if abs(self.solution.charge_imbalance) > NEUTRAL:
            refuse(
                f"charge imbalance of water {self.name}",
                100 * abs(self.solution.charge_imbalance),
                "%",
                wrong="a water that is applied has to be neutral",
                limit=f"the limit is {100 * NEUTRAL:g} %, by electroneutrality",
                remedy="build it with Water.of, where chloride takes up a tolerable difference",
            )

    @classmethod
    def of(cls, **given: Given) -> Self:
        """Water from an analysis: text with units, or quantities.

        Parameters
        ----------
        **given : str or Quantity
            `name`, and any of `sodium`, `calcium`, `magnesium`, `potassium`, `bicarbonate`, `carbonate`,
            `chloride`, `sulfate`, such as "8.4 mmol_c/L" or "193 mg/L"; `conductivity` and `ph` are kept.
            An ion that is not given is 0 and said so.

        Returns
        -------
        Water
            Cations as given, since they make its SAR; chloride takes up a tolerable charge difference.

        Raises
        ------
        SoilxError
            If a key is unknown, a unit wrong, or cations and anions differ by more than a tenth of their sum.
        """
        typed = {key: typed_text(text) for key, text in given.items()}
        refuse_unknown(typed, tuple(WATER_FIELD), what="a water")
        name = typed.get("name", "")
        if not name:
            raise LimitError("name: is missing; the limit is ours, a water is called by its name; give one.")
        values = {
            key: read_field(field, typed[key])
            for key, field in WATER_FIELD.items()
            if key in typed and field.kind
        }
        defaults = tuple((key, "0 mmol_c/L") for key in _IONS if key not in values)
        reported = Solution(
            ca=values.get("calcium", 0.0),
            mg=values.get("magnesium", 0.0),
            na=values.get("sodium", 0.0),
            k=values.get("potassium", 0.0),
            so4=values.get("sulfate", 0.0),
            cl=values.get("chloride", 0.0),
            hco3=values.get("bicarbonate", 0.0) + values.get("carbonate", 0.0),
        )
        require_charge_balance(reported, what=f"water {name}")
        chloride = reported.cl + reported.cation_charge - reported.anion_charge
        # An analysis that balances keeps its own figure, whatever the last bit of the sums says.
        if abs(reported.charge_imbalance) < 1e-12:
            chloride = reported.cl
        if chloride < 0:
            refuse(
                f"chloride of water {name}",
                chloride,
                "mmol_c/L",
                wrong="would have to be negative for charges to balance",
                limit="cations stand, and chloride takes up what the anions are too many",
                remedy="check bicarbonate and sulfate",
            )
        yields: tuple[str, ...] = ()
        if abs(chloride - reported.cl) > 1e-6 * reported.cation_charge:
            yields = (
                f"chloride yields: {reported.cl:.4g} mmol/L reported, {chloride:.4g} taken, so that charges "
                "balance",
            )
        solution = Solution(
            ca=reported.ca,
            mg=reported.mg,
            na=reported.na,
            k=reported.k,
            so4=reported.so4,
            cl=chloride,
            hco3=reported.hco3,
        )
        if name == DEIONISED_NAME:
            if max(abs(solution.as_array() - Solution().as_array())) > NEUTRAL:
                raise LimitError(
                    f"water {name}: is not what is counted as deionised here; the limit is ours, the name "
                    "stands for 1e-4 mmol/L of every ion; give this water another name."
                )
            return cls(name=name, solution=Solution())
        order = tuple((key, typed[key]) for key in WATER_FIELD if key in typed)
        return cls(name=name, solution=solution, defaults=defaults, yields=yields, typed=order)

    @property
    def electrical_conductivity(self) -> float:
        """At 25 °C [dS/m]."""
        return float(electrical_conductivity(self.solution.as_array()))

    @property
    def sodium_adsorption_ratio(self) -> float:
        """[(mmol/L)^½]."""
        return float(sodium_adsorption_ratio(self.solution.na, self.solution.ca, self.solution.mg))

    @property
    def residual_sodium_carbonate(self) -> float:
        """Carbonate and bicarbonate beyond calcium and magnesium [mmol_c/L]."""
        return self.solution.hco3 - 2 * (self.solution.ca + self.solution.mg)

    @property
    def notes(self) -> tuple[str, ...]:
        """Sentences to show beside any result of this water."""
        defaults = tuple(f"{key} of {self.name} not given: {value}" for key, value in self.defaults)
        carbonate = self.residual_sodium_carbonate
        lime = (
            (
                f"residual sodium carbonate of {self.name} = {carbonate:.3g} mmol_c/L, above 0: calcite is "
                "left out here",
            )
            if carbonate > 0
            else ()
        )
        return (*defaults, *self.yields, *lime)


DEIONISED: Final = Water(name=DEIONISED_NAME, solution=Solution())
"""Water with a floor of 1e-4 mmol/L of every ion, bicarbonate making it neutral."""
