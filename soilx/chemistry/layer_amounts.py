r"""What layers hold, and all amounts in closed form once ln x is known.

With :math:`x = E_D/\sqrt D`, where D is dissolved and E_D exchangeable calcium plus magnesium, the
Gapon equations make everything explicit in x:

.. math::

    N_i = \frac{T_i}{w + Q K_i x}, \quad E_D = 1 - x\,(K_{Na} N_{Na} + K_K N_K), \quad D = (E_D/x)^2

for i = Na, K. Without solid gypsum one equation is left, the electroneutrality of the solution. Taking
calcium from the electroneutrality of the *totals* instead would cancel catastrophically in dilute water.
With solid gypsum the dissolved sulfate follows from electroneutrality, and two equations are left in
ln x and the ionic strength I: that sulfate is what a saturated solution holds, and I is its own.

`layer_charge` solves the first case, `layer_saturated` the second, `layer_gypsum` tells which it is.

Bare kernels: every array has shape (n,), in L, kg, mmol, mmol_c; I in mol/L. On the few dozen layers of a
live pair it is calls that cost: sodium and potassium are spelt out instead of broadcast, what does not move
is prepared once, and constants are arrays of no dimension, which numpy multiplies faster than floats.
"""

from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
Index = NDArray[np.intp]

ONE: Final = np.array(1.0)
TWO: Final = np.array(2.0)
FOUR: Final = np.array(4.0)
HALF: Final = np.array(0.5)


class Layers(NamedTuple):
    """What n layers hold, per kilogram of soil, as rows of one table of shape (12, n).

    Rows: total sodium and potassium, exchangeable and dissolved [mmol/kg]; total magnesium [mmol/kg]; total
    sulfate with solid gypsum [mmol/kg]; chloride and bicarbonate [mmol_c/kg]; exchange capacity
    [mmol_c/kg]; water content [L/kg]; Gapon selectivities of sodium and potassium [(mmol/L)^-½]; these times
    capacity; K_Mg of E_Mg/E_Ca = K_Mg Mg/Ca.
    """

    table: Array

    @classmethod
    def of(
        cls,
        *,
        monovalent: Array,
        magnesium: Array,
        sulfate: Array,
        other_anions: Array,
        capacity: Array,
        water: Array,
        selectivity: Array,
        magnesium_selectivity: Array,
    ) -> "Layers":
        """Layers from rows of shape (n,); `monovalent` and `selectivity` of shape (2, n), sodium first."""
        table = np.empty((12, magnesium.size))
        table[0:2] = monovalent
        table[2], table[3], table[4], table[5], table[6] = magnesium, sulfate, other_anions, capacity, water
        table[7:9] = selectivity
        table[9:11] = selectivity * capacity
        table[11] = magnesium_selectivity
        return cls(table)

    def take(self, index: Index) -> "Layers":
        """The layers at `index`, copied."""
        return Layers(self.table.take(index, axis=1))

    @property
    def size(self) -> int:
        """Number of layers."""
        return int(self.table.shape[1])

    @property
    def sulfate(self) -> Array:
        """Total sulfate with solid gypsum [mmol/kg]."""
        return np.asarray(self.table[3])

    @property
    def other_anions(self) -> Array:
        """Chloride and bicarbonate [mmol_c/kg]."""
        return np.asarray(self.table[4])

    @property
    def water(self) -> Array:
        """Water content [L/kg]."""
        return np.asarray(self.table[6])


@dataclass(slots=True, kw_only=True)
class Start:
    """Where the solver starts: the last solution of the same layers, or nothing.

    Attributes
    ----------
    log_x : ndarray, shape (n,)
    strength : ndarray, shape (n,)
        Ionic strength of layers with solid gypsum, else not used [mol/L].
    solid : ndarray of bool, shape (n,)
        Where solid gypsum was left.
    """

    log_x: Array
    strength: Array
    solid: Flags

    def take(self, index: Index | slice) -> "Start":
        """Where the layers at `index` stand, copied."""
        return Start(
            log_x=self.log_x[index].copy(),
            strength=self.strength[index].copy(),
            solid=self.solid[index].copy(),
        )


@dataclass(slots=True, kw_only=True)
class Equilibrium:
    """n layers at equilibrium.

    Attributes
    ----------
    concentrations : ndarray, shape (5, n)
        Dissolved Ca, Mg, Na, K, SO4 [mmol/L].
    exchanger : ndarray, shape (4, n)
        Charge fractions of Ca, Mg, Na, K.
    gypsum : ndarray, shape (n,)
        Solid gypsum left [mmol/kg].
    start : Start
        For the next call on the same layers.
    """

    concentrations: Array
    exchanger: Array
    gypsum: Array
    start: Start


def magnesium_dissolved(layers: Layers, divalent: Array, exchanged: Array) -> Array:
    """Dissolved magnesium, given D and E_D: the positive root of its own mass balance [mmol/L]."""
    table = layers.table
    magnesium, capacity, water, preference = table[2], table[5], table[6], table[11]
    excess = preference - ONE
    if not np.count_nonzero(excess):
        alone: Array = magnesium * divalent / (water * divalent + HALF * capacity * exchanged)
        return alone
    linear = water * divalent + HALF * capacity * preference * exchanged - excess * magnesium
    constant = magnesium * divalent
    # b + √(b² + 4ac): this form of the root does not cancel and holds for K_Mg = 1, where a = 0
    dissolved: Array = TWO * constant / (linear + np.sqrt(linear * linear + FOUR * excess * water * constant))
    return dissolved


def amounts_at(layers: Layers, start: Start) -> Equilibrium:
    """All amounts at a solved ln x."""
    total_na, total_k, _, total_so4, other_anions, _, water, k_na, k_k, qk_na, qk_k, preference = layers.table
    x = np.exp(start.log_x)
    na = total_na / (qk_na * x + water)
    k = total_k / (qk_k * x + water)
    e_na = k_na * x * na
    e_k = k_k * x * k
    exchanged = ONE - e_na - e_k
    per_x = exchanged / x
    divalent = per_x * per_x
    magnesium = magnesium_dissolved(layers, divalent, exchanged)
    calcium = divalent - magnesium
    held = preference * magnesium
    e_mg = exchanged * held / (calcium + held)
    sulfate = total_so4 / water
    gypsum = np.zeros(x.size)
    if np.count_nonzero(start.solid):
        saturating = HALF * (na + k - other_anions / water) + divalent
        sulfate = np.where(start.solid, saturating, sulfate)
        gypsum = np.where(start.solid, total_so4 - water * sulfate, gypsum)
    concentrations = np.empty((5, x.size))
    concentrations[0], concentrations[1], concentrations[2] = calcium, magnesium, na
    concentrations[3], concentrations[4] = k, sulfate
    exchanger = np.empty((4, x.size))
    exchanger[0], exchanger[1], exchanger[2], exchanger[3] = exchanged - e_mg, e_mg, e_na, e_k
    return Equilibrium(concentrations=concentrations, exchanger=exchanger, gypsum=gypsum, start=start)
