"""The fit of a bench run on the page: what may be moved, what came of it, and the soil to take away."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from soilx.bench.fit import fit
from soilx.bench.fit_parameters import PARAMETERS
from soilx.bench.observations import FITTED_QUANTITIES, observe
from soilx.column.scenario_toml import scenario_to_toml
from soilx.column.soil_table import soils_to_csv
from soilx.errors import LimitError, SoilxError
from soilx.show.bench_recorded import soil_of
from soilx.show.task import Task, worked

if TYPE_CHECKING:
    from collections.abc import Callable

    from soilx.bench.fit_result import Fit
    from soilx.bench.plan import Plan
    from soilx.bench.record import Record
    from soilx.show.download import Download

_READINGS: Final[Mapping[str, str]] = MappingProxyType(
    {"sodium": "sodium", "calcium": "calcium", "ec": "conductivity (EC)"}
)


FIRST_PARAMETERS: Final = ("soluble_sodium", "bypass_fraction")
"""What a first fit moves: two columns tell these; selectivity and capacity stay the report's."""


def parameters_offered() -> dict[str, str]:
    """What a fit may move, as it is ticked."""
    return {key: one.title + (f" [{one.unit}]" if one.unit else "") for key, one in PARAMETERS.items()}


def readings_offered() -> dict[str, str]:
    """What a fit may go by, as it is ticked."""
    return {key: _READINGS[key] for key in FITTED_QUANTITIES}


class Fitter:
    """The last fit, for as long as the record and what was chosen are those that it is of.

    Attributes
    ----------
    fit : Fit or None
    said : str
        Why there is none.
    """

    def __init__(self) -> None:
        self.fit: Fit | None = None
        self.said = "Choose what the fit may move, then press the button."
        self._presses = 0
        self._key: tuple[object, ...] = ()

    def fitted(
        self,
        presses: int,
        record: Record,
        chosen: Plan,
        *,
        parameters: Sequence[str],
        readings: Sequence[str],
        shown: object,
    ) -> Fit | None:
        """The fit of a record if its button was pressed, or the one before while it still holds.

        Parameters
        ----------
        presses : int
            How often the button was pressed up to now.
        record : Record
        chosen : Plan
            Whose soil is taken where the record names none.
        parameters, readings : sequence of str
            Keys of `parameters_offered` and `readings_offered`.
        shown : object
            `Task.shown` of the button.
        """
        soil, _ = soil_of(record, chosen.soil)
        key = (record.digest, record.name, soil, tuple(parameters), tuple(readings))
        if presses > self._presses:
            self._presses, self._key = presses, key
            self.fit, self.said = worked(shown, _working(record, chosen, parameters, readings))
            if self.fit is not None:
                _say(shown, f"Done: {len(self.fit.met)} readings, {len(self.fit.parameters)} parameters.")
        elif key != self._key and self.fit is not None:
            self.fit, self.said = None, "Record or choice has changed since the fit: press the button again."
            _say(shown, "")
        return self.fit


def fit_of(record: Record, chosen: Plan, *, parameters: Sequence[str], readings: Sequence[str]) -> Fit:
    """Fit of a record.

    Parameters
    ----------
    record : Record
    chosen : Plan
        Whose soil is taken where the record names none.
    parameters, readings : sequence of str
        Keys of `parameters_offered` and `readings_offered`.

    Raises
    ------
    SoilxError
        If nothing is chosen, or the record lacks what a fit needs.
    """
    if not parameters or not readings:
        raise LimitError(
            f"{'parameters' if not parameters else 'readings'} = none: are too few; a fit moves something to "
            "meet something that was read; tick at least one of each list."
        )
    soil, _ = soil_of(record, chosen.soil)
    return fit(observe(record, soil).only(*readings), tuple(parameters))


def put_soil(run: Download, row: Download, fitted: Fit | None, plan: Plan) -> None:
    """Give the fitted soil to the buttons that save it: in the plan's run, and as a row of a table of soils.

    Parameters
    ----------
    run, row : Download
    fitted : Fit or None
    plan : Plan
        Whose dose and water are carried on.
    """
    if fitted is None:
        run.put("", "")
        row.put("", "")
        return
    name = re.sub(r"[^a-z0-9]+", "_", fitted.soil.name.lower()).strip("_") or "fitted_soil"
    try:
        run.put(f"{name}.toml", scenario_to_toml(fitted.carried_to(plan.treated)))
        row.put(f"{name}.csv", soils_to_csv([fitted.soil]))
    except SoilxError as refused:
        for button in (run, row):
            button.put("", "")
            button.waits = str(refused)


def _working(
    record: Record, chosen: Plan, parameters: Sequence[str], readings: Sequence[str]
) -> Callable[[Callable[[float], None]], Fit]:
    def work(told: Callable[[float], None]) -> Fit:
        told(0.1)
        made = fit_of(record, chosen, parameters=parameters, readings=readings)
        told(1.0)
        return made

    return work


def _say(shown: object, text: str) -> None:
    task = getattr(shown, "control", None)
    if isinstance(task, Task):
        task.say(text)
