"""A table of soils that was written reads back as the same soils."""

import soilx
from soilx.bench.fit import fit
from soilx.bench.observations import observe
from soilx.column.soil_table import soils_to_csv


def test_soils_read_back_as_they_were__analytic(tmp_path):
    soils = soilx.read_soils(soilx.demo_path("soils.csv"))
    path = tmp_path / "again.csv"
    path.write_text(soils_to_csv(soils.values()), encoding="utf-8")
    again = soilx.read_soils(path)
    for name, soil in soils.items():
        for content in ("sodium", "calcium", "magnesium", "potassium", "sulfate", "chloride", "bicarbonate"):
            assert getattr(again[name], content) == getattr(soil, content)


def test_a_fitted_soil_goes_to_the_field_as_a_report__analytic(tmp_path):
    record = soilx.read_record(soilx.demo_path("bench_block_c.csv"))
    block = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    fitted = fit(observe(record, block), ("soluble_sodium", "bypass_fraction")).soil
    path = tmp_path / "fitted.csv"
    path.write_text(soils_to_csv([fitted]), encoding="utf-8")
    report = soilx.read_reports(path)[fitted.name]
    # A report carries ESP to the digits that equilibrium gives it.
    assert abs(report.esp.value - fitted.exchangeable_sodium_percentage) < 1e-6
