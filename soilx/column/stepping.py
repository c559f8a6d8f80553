"""The stack of stirred layers, stepped: water moves down, then every layer comes to equilibrium.

Bare kernels over (column, layer) at once. Water that enters a layer below its drained content stays there
until the deficit is filled; the rest displaces as much of the layer's own water. Every layer's outflow is its
water as it was before the step, so that a conserved tracer breaks through by the binomial distribution.
"""

from copy import copy
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soilx.chemistry.ions import CHARGES
from soilx.chemistry.layer_amounts import TWO, Equilibrium, Layers, Start
from soilx.chemistry.layer_charge import near_electroneutrality
from soilx.chemistry.layer_equilibrium import equilibrate, refuse_strong, saturate
from soilx.chemistry.soil_solution import DAVIES_LIMIT
from soilx.errors import LimitError

Array = NDArray[np.float64]

CA: Final = 0
MG: Final = 1
NA: Final = 2
SO4: Final = 4

_STRENGTH_WEIGHTS: Final = np.square(CHARGES) / 2000.0


@dataclass(slots=True, kw_only=True)
class Columns:
    """B columns of N equal layers, changed in place by `advance`.

    Attributes
    ----------
    totals : ndarray, shape (7, B, N)
        Dissolved, exchangeable and reacting solid, per kilogram of the layer's soil [mmol/kg].
    held : ndarray, shape (B, N)
        Gypsum that does not react yet: not wetted, or waiting for its slow dissolution [mmol/kg].
    water, drained, residual : ndarray, shape (B, N)
        Water content now, when drained, and below which no evapotranspiration takes it [L/kg].
    capacity : ndarray, shape (B, N)
        [mmol_c/kg]
    selectivity : ndarray, shape (2, B, N)
        Gapon, Na and K [(mmol/L)^-½].
    magnesium_selectivity : ndarray, shape (B, N)
    bypass : ndarray, shape (B,)
        Fraction of each displacement that passes a layer unmixed.
    dissolution : ndarray, shape (B, N)
        First-order rate constant of each layer's gypsum [1/h]; infinite for equilibrium.
    wetted : ndarray of bool, shape (B, N)
    extrapolate : bool
        Allow ionic strengths above 0.5 mol/L.
    """

    totals: Array
    held: Array
    water: Array
    drained: Array
    residual: Array
    capacity: Array
    selectivity: Array
    magnesium_selectivity: Array
    bypass: Array
    dissolution: Array
    wetted: NDArray[np.bool_]
    extrapolate: bool = False
    concentrations: Array = field(init=False)
    exchanger: Array = field(init=False)
    solid: Array = field(init=False)
    layers: Layers | None = field(init=False, default=None)
    start: Start | None = field(init=False, default=None)
    past: tuple[Start, ...] = field(init=False, default=())
    saturated_start: Start | None = field(init=False, default=None)
    inflowing: Array = field(init=False)
    bypassing: bool = field(init=False)
    holding: bool = field(init=False)
    all_wetted: bool = field(init=False, default=False)
    filling: bool = field(init=False, default=True)

    def __post_init__(self) -> None:
        self.concentrations = np.empty_like(self.totals)
        self.inflowing = np.empty_like(self.totals)
        self.bypassing = bool(self.bypass.any())
        self.holding = bool(self.held.any())
        self.settle()

    @property
    def gypsum(self) -> Array:
        """Solid gypsum of each layer, shape (B, N) [mmol/kg]."""
        total: Array = self.solid + self.held
        return total

    def inventory(self) -> Array:
        """What a kilogram of each column's soil holds, solid gypsum with it, shape (7, B) [mmol/kg]."""
        held: Array = self.totals.mean(axis=2)
        gypsum = self.held.mean(axis=1)
        held[CA] += gypsum
        held[SO4] += gypsum
        return held

    def counted(self) -> Array:
        """The same, counted up from solution, exchanger and solid, to close a balance with; shape (7, B)."""
        held: Array = (self.water * self.concentrations).mean(axis=2)
        charge = np.array([2.0, 2.0, 1.0, 1.0])[:, np.newaxis]
        held[:4] += (self.capacity * self.exchanger).mean(axis=2) / charge
        gypsum = self.gypsum.mean(axis=1)
        held[CA] += gypsum
        held[SO4] += gypsum
        return held

    def select(self, number: int) -> "Columns":
        """One column, copied, with where its solver stands."""
        own = slice(number, number + 1)
        layers = self.water.shape[1]
        flat = slice(number * layers, (number + 1) * layers)
        column = copy(self)
        for name in (
            "held",
            "water",
            "drained",
            "residual",
            "capacity",
            "magnesium_selectivity",
            "dissolution",
            "wetted",
            "solid",
        ):
            setattr(column, name, getattr(self, name)[own].copy())
        for name in ("totals", "selectivity", "concentrations", "exchanger", "inflowing"):
            setattr(column, name, getattr(self, name)[:, own].copy())
        column.bypass = self.bypass[own].copy()
        column.past = tuple(past.take(flat) for past in self.past)
        column.start = column.past[-1]
        column.saturated_start = self.saturated_start.take(flat) if self.saturated_start is not None else None
        column.layers = None
        return column

    def settle(self) -> None:
        """Bring every layer to equilibrium, and refuse solutions beyond the activity model."""
        shape = self.water.shape
        layers = self.as_layers()
        result = equilibrate(layers, self._guess(layers))
        self.start = result.start
        self.past = (*self.past[-2:], result.start)
        self._keep(result, shape)
        if not self.extrapolate:
            self._refuse_strong()

    def as_layers(self) -> Layers:
        """The columns' layers in one row; the table is kept and only what moves is written again."""
        flat = self.totals.reshape(7, -1)
        if self.layers is None:
            self.layers = Layers.of(
                monovalent=flat[2:4],
                magnesium=flat[MG],
                sulfate=flat[SO4],
                other_anions=flat[5] + flat[6],
                capacity=self.capacity.reshape(-1),
                water=self.water.reshape(-1),
                selectivity=self.selectivity.reshape(2, -1),
                magnesium_selectivity=self.magnesium_selectivity.reshape(-1),
            )
            return self.layers
        table = self.layers.table
        table[0:2] = flat[2:4]
        table[2] = flat[MG]
        table[3] = flat[SO4]
        np.add(flat[5], flat[6], out=table[4])
        table[6] = self.water.reshape(-1)
        return self.layers

    def _keep(self, result: Equilibrium, shape: tuple[int, ...]) -> None:
        self.concentrations[:5] = result.concentrations.reshape(5, *shape)
        np.divide(self.totals[5:], self.water, out=self.concentrations[5:])
        self.exchanger = result.exchanger.reshape(4, *shape)
        self.solid = result.gypsum.reshape(shape)

    def _guess(self, layers: Layers) -> Start | None:
        """A start near the answer, which saves Newton rounds.

        Saturated layers change smoothly: their last three states are carried on. In the others the exchanger
        changes little in a step, so that it keeps the ratio (Na + K)/√D while their charge changes at once.
        """
        now = self.start
        if now is None:
            return None
        log_x, strength = now.log_x, now.strength
        solid = now.solid
        saturated = np.count_nonzero(solid)
        if saturated and len(self.past) == 3:
            first, second, third = self.past
            steady = first.solid & second.solid
            log_x = np.where(steady, 3.0 * (third.log_x - second.log_x) + first.log_x, log_x)
            strength = np.where(steady, 3.0 * (third.strength - second.strength) + first.strength, strength)
        if saturated < solid.size:
            ca, mg, na, k, _, _, _ = self.concentrations.reshape(7, -1)
            e_ca, e_mg, _, _ = self.exchanger.reshape(4, -1)
            table = layers.table
            charge = (table[4] + TWO * table[3]) / table[6]
            quick = near_electroneutrality(
                ratio=(na + k) / np.sqrt(ca + mg), exchanged=e_ca + e_mg, charge=charge
            )
            log_x = np.where(solid, log_x, quick) if saturated else quick
        return Start(log_x=log_x, strength=strength, solid=solid)

    def _refuse_strong(self) -> None:
        strongest = _STRENGTH_WEIGHTS @ self.concentrations.reshape(7, -1)
        if strongest[strongest.argmax()] <= DAVIES_LIMIT:
            return
        # a layer that no water has reached yet is air-dry: nothing there depends on activities
        suspect = (strongest > DAVIES_LIMIT).reshape(self.water.shape) & self.wetted
        if suspect.any():
            refuse_strong(self.concentrations[:, suspect], where="the soil solution of a layer")


def advance(columns: Columns, *, volume: Array, inflow: Array, hours: Array) -> tuple[Array, Array]:
    """Step every column by one portion of water.

    Parameters
    ----------
    columns : Columns
        Changed in place.
    volume : ndarray, shape (B,)
        Water entering the top layer, per kilogram of one layer's soil; at most its drained water [L/kg].
    inflow : ndarray, shape (7, B)
        Its composition [mmol/L].
    hours : ndarray, shape (B,)
        Time of contact [h].

    Returns
    -------
    volume : ndarray, shape (B,)
        Water that left the last layer, per kilogram of one layer's soil [L/kg].
    concentrations : ndarray, shape (7, B)
        Its composition [mmol/L].
    """
    entering = volume[:, np.newaxis]
    if columns.filling:
        deficit = columns.drained - columns.water
        columns.filling = bool((deficit > 0).any())
        if columns.holding:
            _touch_moist(columns, moist=(deficit <= 0) & ~columns.wetted & (entering > 0))
    if columns.filling:
        leaving = entering - np.cumsum(deficit, axis=1)
        leaving = np.where(leaving > 1e-12 * columns.drained, leaving, 0.0)  # no drip of rounding
        entering = np.concatenate([entering, leaving[:, :-1]], axis=1)
    else:
        leaving = entering
    outflow = _outflow(columns, inflow)
    above = columns.inflowing
    above[:, :, 0] = inflow
    above[:, :, 1:] = outflow[:, :, :-1]
    if leaving is entering:
        columns.totals += entering * (above - outflow)
    else:
        columns.totals += entering * above - leaving * outflow
        filled = entering - leaving >= deficit * (1 - 1e-12)
        columns.water = np.where(filled, columns.drained, columns.water + (entering - leaving))
    # what a whole displacement takes all of leaves a rounding error of either sign
    np.maximum(columns.totals, 0.0, out=columns.totals)
    left, composition = leaving[:, -1].copy(), outflow[:, :, -1].copy()
    if columns.holding:
        _release(columns, wet=np.broadcast_to(entering > 0, columns.held.shape), hours=hours)
    if not columns.all_wetted:
        columns.wetted |= entering > 0
        columns.all_wetted = bool(columns.wetted.all())
    columns.settle()
    return left, composition


def evaporate(columns: Columns, *, volume: Array) -> None:
    """Take water, not salt, from every layer in proportion to what it can give.

    Parameters
    ----------
    columns : Columns
        Changed in place.
    volume : ndarray, shape (B,)
        Evapotranspiration per kilogram of the column's soil [L/kg].

    Raises
    ------
    LimitError
        If a column does not hold that much water above its residual content.
    """
    available = np.maximum(columns.water - columns.residual, 0.0)
    mean = available.mean(axis=1)
    if np.any(volume > mean * (1 + 1e-12)):
        worst = int(np.argmax(volume - mean))
        raise LimitError(
            f"evapotranspiration = {volume[worst]:.4g} L/kg: is more than the soil can give; the limit is "
            f"the {mean[worst]:.4g} L/kg it holds above its driest water content; take less, or wet the soil "
            "between."
        )
    share = np.divide(volume, mean, out=np.zeros_like(mean), where=mean > 0)
    columns.water = columns.water - available * share[:, np.newaxis]
    columns.filling = True
    columns.settle()


def _touch_moist(columns: Columns, *, moist: NDArray[np.bool_]) -> None:
    """Let gypsum react in soil that is moist before the first water comes: it was mixed into wet ground."""
    moist = moist & ~np.isfinite(columns.dissolution)
    if moist.any():
        _release(columns, wet=moist, hours=np.zeros(moist.shape[0]))
        columns.wetted |= moist
        columns.settle()


def _outflow(columns: Columns, inflow: Array) -> Array:
    """Composition of what each layer passes down, shape (7, B, N)."""
    if not columns.bypassing:
        return columns.concentrations
    count = columns.water.shape[1]
    step = np.arange(count)
    lag = step[:, np.newaxis] - step
    bypass = columns.bypass[:, np.newaxis, np.newaxis]
    passing = np.where(lag >= 0, (1 - bypass) * bypass ** np.maximum(lag, 0), 0.0)
    mixed = np.matmul(passing, columns.concentrations[..., np.newaxis])[..., 0]
    through: Array = columns.bypass[:, np.newaxis] ** (step + 1.0)
    outflow: Array = mixed + inflow[..., np.newaxis] * through
    return outflow


def _release(columns: Columns, *, wet: NDArray[np.bool_], hours: Array) -> None:
    """Move gypsum from `held` into the reacting totals: at once, or by first order.

    First order: dissolution covers kt/(1 + kt) of the way to saturation in t hours, exchange included, as far
    as there is gypsum. That is dg/dt = −k (c_sat − c) taken backward over the step, so that what comes off
    surface-laid gypsum does not depend on how finely time and depth are cut.
    """
    slow = np.isfinite(columns.dissolution) & wet & (columns.held > 0)
    at_once = wet & ~slow & (columns.held > 0)
    released = np.where(at_once, columns.held, 0.0)
    _start_like_the_layer_above(columns, at_once)
    if slow.any():
        index = np.flatnonzero(slow)
        layers = columns.as_layers().take(index)
        start = columns.saturated_start
        if start is None:
            now = columns.past[-1]
            start = Start(
                log_x=now.log_x.copy(),
                strength=now.strength.copy(),
                solid=np.zeros(now.solid.shape, dtype=bool),
            )
        sulfate, near = saturate(layers, start.take(index))
        start.log_x[index], start.strength[index], start.solid[index] = near.log_x, near.strength, near.solid
        columns.saturated_start = start
        # of the slow layers alone: elsewhere a rate without end meets a step without time
        pace = columns.dissolution.reshape(-1)[index] * np.repeat(hours, columns.held.shape[1])[index]
        wanted = np.maximum(layers.water * sulfate - layers.sulfate, 0.0) * pace / (1.0 + pace)
        released.reshape(-1)[index] = np.minimum(wanted, columns.held.reshape(-1)[index])
    columns.held = columns.held - released
    columns.holding = bool(columns.held.any())
    columns.totals[CA] += released
    columns.totals[SO4] += released


def _start_like_the_layer_above(columns: Columns, released: NDArray[np.bool_]) -> None:
    """Let the solver look for newly released gypsum where the saturated layer above it stands.

    A guess that saves its way into saturation; where it is no good the solver falls back by itself.
    """
    now = columns.start
    if now is None:
        return
    new = released.copy()
    new[:, 1:] &= now.solid.reshape(new.shape)[:, :-1]
    new[:, 0] = False
    if not new.any():
        return
    index = np.flatnonzero(new)
    start = now.take(slice(None))
    start.log_x[index], start.strength[index] = now.log_x[index - 1], now.strength[index - 1]
    start.solid[index] = True
    columns.start = start
