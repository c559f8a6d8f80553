"""A laboratory's soil report, partial reports welcome: every number with its basis, range and origin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Self

from soilx.column.fields import Given, Typed
from soilx.column.files import read_table
from soilx.column.soil import Soil
from soilx.column.table_file import Named
from soilx.practice.estimate import Estimate
from soilx.practice.soil_test.report_checks import Check, checks_of
from soilx.practice.soil_test.report_exchanger import exchanger_of
from soilx.practice.soil_test.report_fields import REPORT_FIELDS
from soilx.practice.soil_test.report_gaps import Gap, gaps_of
from soilx.practice.soil_test.report_inventory import with_equilibrium
from soilx.practice.soil_test.report_layers import require_sampled
from soilx.practice.soil_test.report_soil import column_texts, soil_of_report
from soilx.practice.soil_test.report_solution import gypsum_in, solution_of
from soilx.practice.soil_test.report_steps import trail_of
from soilx.practice.soil_test.report_trail import Step
from soilx.practice.soil_test.report_values import read_values
from soilx.practice.soil_test.soluble_salts import SolubleLine


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """What a soil report says, on one basis; None and empty where it says nothing.

    Attributes
    ----------
    name : str
        As on the screen.
    site : str or None
        What samples of one profile have in common.
    date, laboratory, extractant : str or None
        Day of sampling as 2024-03-31, who analysed, and with what the cations were extracted.
    top, depth : float or None
        Top of the sampled layer, and its thickness [mm].
    bulk_density : Estimate or None
        Oven-dry, measured or estimated from texture [kg/L].
    clay_pct, calcium_carbonate_pct : float or None
        [%]
    texture : str or None
        Texture class.
    ph : float or None
    drain_test_h : float or None
        Time in which a test hole drained [h].
    jar_test : str or None
        Dispersion seen in a jar, as it was told.
    soil_basis, exchangeable_basis, extract_basis, cec_basis : str or None
        As stated; None where it is not.
    cation_exchange_capacity : Estimate or None
        With sodium, without dissolved salts [mmol_c/kg].
    reported, exchangeable : mapping of str to Estimate
        "Ca", "Mg", "Na", "K" as reported, and on the exchanger [mmol_c/kg].
    saturation_percentage : Estimate or None
        Measured or estimated from texture [%].
    extract, paste : mapping of str to Estimate
        Ions by symbol of the extract analysed, and of the saturation extract [mmol_c/L].
    extract_ec, paste_ec : Estimate or None
        Conductivity of the extract analysed, and of the saturation extract [dS/m].
    extract_sar, paste_sar : Estimate or None
        Sodium adsorption ratio of the two [(mmol/L)^½].
    esp : Estimate or None
        Exchangeable sodium percentage; its origin says whether it was measured [%].
    gypsum_present, gypsum_recently_applied : bool or None
    soluble_salt_correction : tuple of SolubleLine
        Line by line, where dissolved salts were still in the cations.
    trail : tuple of Step
        What was typed, beside what it was taken for, with the multiplier.
    notes : tuple of str
        What was assumed, changed or left out.
    typed, converted : tuple of (str, str)
        As typed, and what the column takes instead or besides.
    """

    name: str
    site: str | None = None
    date: str | None = None
    laboratory: str | None = None
    extractant: str | None = None
    top: float | None = None
    depth: float | None = None
    bulk_density: Estimate | None = None
    clay_pct: float | None = None
    calcium_carbonate_pct: float | None = None
    texture: str | None = None
    ph: float | None = None
    drain_test_h: float | None = None
    jar_test: str | None = None
    soil_basis: str | None = None
    exchangeable_basis: str | None = None
    extract_basis: str | None = None
    cec_basis: str | None = None
    cation_exchange_capacity: Estimate | None = None
    reported: Mapping[str, Estimate]
    exchangeable: Mapping[str, Estimate]
    saturation_percentage: Estimate | None = None
    extract: Mapping[str, Estimate]
    paste: Mapping[str, Estimate]
    extract_ec: Estimate | None = None
    paste_ec: Estimate | None = None
    extract_sar: Estimate | None = None
    paste_sar: Estimate | None = None
    esp: Estimate | None = None
    gypsum_present: bool | None = None
    gypsum_recently_applied: bool | None = None
    soluble_salt_correction: tuple[SolubleLine, ...] = ()
    trail: tuple[Step, ...] = ()
    notes: tuple[str, ...] = ()
    typed: Typed = ()
    converted: Typed = ()

    @classmethod
    def of(cls, **given: Given) -> Self:
        """Report from what is known: text with units, or quantities.

        Parameters
        ----------
        **given : str or Quantity
            Keys of `soilx.practice.soil_test.report_fields.REPORT_FIELD`; only `name` is obligatory.

        Raises
        ------
        SoilxError
            If a key or word is unknown, a unit wrong, a value impossible, or two contradict each other.
        """
        values = read_values(given)
        words, numbers = values.words, values.numbers
        solution = solution_of(values)
        exchanger = exchanger_of(values, solution)
        bulk_density = values.from_texture("bulk_density", "kg/L")
        if "bulk_density" in numbers:
            bulk_density = Estimate.measured(numbers["bulk_density"], "kg/L")
        report = cls(
            name=words["name"],
            site=words.get("site"),
            date=words.get("date"),
            laboratory=words.get("laboratory"),
            extractant=words.get("extractant"),
            top=numbers.get("depth_from"),
            depth=numbers.get("depth"),
            bulk_density=bulk_density,
            clay_pct=values.pct("clay"),
            calcium_carbonate_pct=values.pct("lime"),
            texture=values.texture,
            ph=numbers.get("ph"),
            drain_test_h=numbers.get("drain_test"),
            jar_test=words.get("jar_test"),
            soil_basis=words.get("soil_basis"),
            exchangeable_basis=words.get("exchangeable_basis"),
            extract_basis=solution.basis,
            cec_basis=words.get("cec_basis"),
            cation_exchange_capacity=exchanger.capacity,
            reported=exchanger.reported,
            exchangeable=exchanger.exchangeable,
            saturation_percentage=solution.saturation_percentage,
            extract=solution.extract,
            paste=solution.paste,
            extract_ec=solution.extract_ec,
            paste_ec=solution.paste_ec,
            extract_sar=solution.extract_sar,
            paste_sar=solution.paste_sar,
            esp=exchanger.esp,
            gypsum_present=gypsum_in(values),
            gypsum_recently_applied=values.flag("gypsum_recently_applied"),
            soluble_salt_correction=exchanger.lines,
            trail=trail_of(values, solution, exchanger),
            notes=(*solution.notes, *exchanger.notes),
            typed=values.typed,
            converted=column_texts(values, solution, exchanger, bulk_density=bulk_density),
        )
        return with_equilibrium(report)

    def with_(self, **given: Given) -> Self:
        """The report with some of what was typed changed or added; parameters as for `of`."""
        return type(self).of(**{**dict(self.typed), **given})

    @property
    def checks(self) -> tuple[Check, ...]:
        """Quality checks that this report allows: value, limit, verdict and what a failure probably means."""
        return checks_of(self)

    @property
    def gaps(self) -> tuple[Gap, ...]:
        """What cannot be decided without which test, the most pressing first."""
        return gaps_of(self)

    def soil(self) -> Soil:
        """The column's soil of this report; the very one that `soilx.read_soils` makes of a whole row.

        Raises
        ------
        LimitError
            If the report does not say enough; the message lists what is missing.
        SoilxError
            If what it says contradicts itself.
        """
        return soil_of_report(self)

    def require_sampled(self, depth: float) -> None:
        """Raise where a depth [mm] reaches below the sampled one, as `report_layers` does."""
        require_sampled(self, depth)


def read_reports(path: str | Path) -> Named[Report]:
    """Reports of a CSV file, by name.

    Parameters
    ----------
    path : str or Path
        UTF-8, comma-separated, units in the headers: the columns of data_demo/soils.csv and those of
        `report_fields` beside this module. Every column but `name` may be missing, and every cell empty.

    Returns
    -------
    dict of str to Report
        A name that is not there is refused with the names that are.

    Raises
    ------
    FileError
        It names file, row, column, value, limit and remedy.
    """
    return read_table(path, REPORT_FIELDS, "soil", lambda texts: Report.of(**texts))
