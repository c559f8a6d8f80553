"""The same column by scipy's stiff solvers: stirred layers in continuous flow, each always at equilibrium.

Stepped layers become these as the displaced fraction goes to 0: ``python -m tests.benchmarks.stiff`` prints
how far the two are apart as the fraction is halved, and how long each takes. Nothing is asserted here;
tests/test_stepping_limit.py holds the agreement.
"""

import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.sparse import block_diag, csr_matrix, kron

from soilx.chemistry.layer_amounts import Layers
from soilx.chemistry.layer_equilibrium import equilibrate
from soilx.column.leaching import columns_of, leach
from soilx.column.scenario import Scenario
from tests.benchmarks.pair import GYPSUM, block_c

Array = NDArray[np.float64]

METHODS = ("BDF", "LSODA", "Radau")
# Conserved in a layer: Na, K, Mg, SO4 with solid gypsum, other anions.
KINDS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Continuous:
    """Where a column stands after all its water, by an ordinary differential equation.

    Attributes
    ----------
    esp_pct : ndarray, shape (layers,)
    gypsum : ndarray, shape (layers,) [mmol/kg]
    calls : int
        Of the right-hand side; one call may serve many states.
    """

    esp_pct: Array
    gypsum: Array
    calls: int


class Column:
    """The right-hand side: what flows in less what flows out, of every layer [mmol/kg per L/kg]."""

    def __init__(self, scenario: Scenario) -> None:
        (wetting,) = scenario.wettings
        columns = columns_of([scenario])
        layers = columns.as_layers().table.copy()
        layers[3] += columns.held.reshape(-1)  # the soil is moist: all gypsum reacts from the start
        self.table = layers
        self.start = equilibrate(Layers(layers)).start
        _, mg, na, k, so4, cl, hco3 = wetting.water.solution.as_array()
        self.inflow = np.array([na, k, mg, so4, cl + hco3])
        self.count = scenario.layers
        self.volume = wetting.volume
        self.calls = 0

    def first(self) -> Array:
        """State before any water, layer by layer, shape (layers · KINDS,)."""
        return self.table[:KINDS].T.reshape(-1).copy()

    def tables(self, state: Array) -> tuple[Layers, NDArray[np.intp]]:
        """Layers of one state or of many as columns, and which layer each is."""
        many = state.reshape(self.count, KINDS, -1)
        which = np.repeat(np.arange(self.count), many.shape[2])
        table = self.table.take(which, axis=1)
        table[:KINDS] = np.maximum(many.transpose(1, 0, 2).reshape(KINDS, -1), 0.0)
        return Layers(table), which

    def __call__(self, _: float, state: Array) -> Array:
        self.calls += 1
        layers, which = self.tables(state)
        result = equilibrate(layers, self.start.take(which))
        if state.ndim == 1:
            self.start = result.start
        _, mg, na, k, so4 = result.concentrations
        outflow = np.stack([na, k, mg, so4, layers.other_anions / layers.water])
        outflow = outflow.reshape(KINDS, self.count, -1)
        above = np.concatenate(
            [np.broadcast_to(self.inflow[:, None, None], outflow[:, :1].shape), outflow[:, :-1]], axis=1
        )
        change: Array = (self.count * (above - outflow)).transpose(1, 0, 2).reshape(state.shape)
        return change

    def end(self, state: Array) -> Continuous:
        layers, which = self.tables(state)
        result = equilibrate(layers, self.start.take(which))
        return Continuous(esp_pct=100 * result.exchanger[2], gypsum=result.gypsum, calls=self.calls)


def continuous(scenario: Scenario, method: str, *, rtol: float) -> Continuous:
    """The column by one of scipy's stiff solvers, helped as it can be: vectorised, with its band structure.

    Parameters
    ----------
    scenario : Scenario
        Moist from the start, watered once.
    method : str
        One of METHODS.
    rtol : float
        Relative tolerance; the absolute one is a thousandth of it, in mmol/kg.
    """
    column = Column(scenario)
    block = np.ones((KINDS, KINDS))
    below = np.eye(column.count, k=-1)
    pattern = csr_matrix(block_diag([block] * column.count) + kron(below, block))
    helped = (
        {"lband": 2 * KINDS - 1, "uband": KINDS - 1}
        if method == "LSODA"
        else {"jac_sparsity": pattern, "vectorized": True}
    )
    found = solve_ivp(
        column, (0.0, column.volume), column.first(), method=method, rtol=rtol, atol=1e-3 * rtol, **helped
    )
    if not found.success:
        raise RuntimeError(found.message)
    return column.end(found.y[:, -1])


def stepped(scenario: Scenario, fraction: float) -> Array:
    """Exchangeable sodium of the layers at the end, stepped with a displaced fraction [%]."""
    return leach(scenario.with_(displaced_fraction=fraction)).final_esp_by_layer_pct


def in_the_limit(scenario: Scenario, fractions: Sequence[float]) -> Array:
    """The same carried to a fraction of 0, by the polynomial through several (Neville's scheme)."""
    from soilx.verification.transport import to_zero

    return to_zero(tuple(fractions), [stepped(scenario, fraction) for fraction in fractions])


def main() -> None:
    """Print the agreement and the times."""
    out = sys.stdout.write
    scenario = block_c(gypsum=GYPSUM, moist=True)
    exact = continuous(scenario, "Radau", rtol=1e-9)
    out(f"treated column of Block C, 12 layers, gypsum {GYPSUM}; apart from Radau at rtol 1e-9, % of CEC\n")
    for number in range(1, 8):
        fraction = 0.5**number
        begun = time.perf_counter()
        apart = np.abs(stepped(scenario, fraction) - exact.esp_pct).max()
        took = 1000 * (time.perf_counter() - begun)
        steps = round(4 * 12 / fraction)
        out(f"stepped, fraction {fraction:<9g} {steps:6d} steps {apart:9.1e} {took:9.0f} ms\n")
    for method in METHODS:
        for rtol in (1e-4, 1e-6):
            begun = time.perf_counter()
            found = continuous(scenario, method, rtol=rtol)
            took = 1000 * (time.perf_counter() - begun)
            apart = np.abs(found.esp_pct - exact.esp_pct).max()
            out(f"{method:6s} rtol {rtol:g} {found.calls:18d} calls {apart:9.1e} {took:9.0f} ms\n")


if __name__ == "__main__":
    main()
