"""Files: soils and waters from CSV, and refusals that name file, row, column, value and remedy."""

import csv
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from soilx.column import files, table_file
from soilx.column.fields import Field, by_key, read_field
from soilx.column.files import (
    demo_path,
    read_soils,
    read_waters,
)
from soilx.column.table_schema import TABLES, descriptor_text, stem_of
from soilx.column.water import DEIONISED
from soilx.errors import FileError, UnitKindError
from soilx.units import Kind

SOILS = read_soils(demo_path("soils.csv"))
WATERS = read_waters(demo_path("waters.csv"))
PACKAGE = json.loads(demo_path("datapackage.json").read_text(encoding="utf-8"))


def header_of(name: str) -> list[str]:
    """First row of a demo table."""
    with demo_path(name).open(encoding="utf-8", newline="") as file:
        return next(csv.reader(file))


def table(tmp_path: Path, cells: Mapping[str, str | None], of: str = "soils.csv") -> Path:
    """The demo table with other cells in its first row; a column is left out where None."""
    with demo_path(of).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for column, cell in cells.items():
        for row in rows:
            if cell is None:
                row.pop(column)
        if cell is not None:
            rows[0][column] = cell
    path = tmp_path / of
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)
    return path


def refusal(path: Path) -> str:
    """What the reader says of a table it refuses."""
    with pytest.raises(FileError) as caught:
        (read_waters if path.name.startswith("waters") else read_soils)(path)
    return str(caught.value)


def test_the_demo_soils_have_the_numbers_they_were_made_for__pinned() -> None:
    assert list(SOILS) == ["Block C", "Block F", "Lawn 2", "Bed 7"]
    stated = {"Block C": 18.0, "Block F": 22.0, "Lawn 2": 9.0}
    for name, esp in stated.items():
        soil = SOILS[name]
        assert any(note.startswith(f"ESP {esp:.2f} stated") for note in soil.notes)
        extract = dict(soil.typed)
        assert extract["origin"] == "report"
    assert SOILS["Bed 7"].exchangeable_sodium_percentage == pytest.approx(20.7, abs=0.05)
    assert SOILS["Block F"].observations["jar_test"] == "clear, cloudy after three rinses"


def test_the_demo_waters_are_what_they_are_called__pinned() -> None:
    assert WATERS["deionised"] == DEIONISED
    assert WATERS["Well 3"].sodium_adsorption_ratio == pytest.approx(8.2, abs=0.05)
    assert WATERS["Rain"].electrical_conductivity < 0.05
    assert not any(water.yields for water in WATERS.values())


def test_the_data_package_and_the_reader_are_one_description__analytic() -> None:
    resources = [(name, f"{name}.csv", header_of(f"{name}.csv")) for name in TABLES]
    assert demo_path("datapackage.json").read_text(encoding="utf-8") == descriptor_text(resources)


@pytest.mark.parametrize("resource", PACKAGE["resources"], ids=lambda one: one["name"])
def test_every_demo_cell_keeps_its_table_schema__analytic(resource: dict[str, Any]) -> None:
    # An independent reading of the schema: types, limits, words, required and unique.
    schema = {field["name"]: field for field in resource["schema"]["fields"]}
    with demo_path(resource["path"]).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert list(rows[0]) == list(schema)
    for column, field in schema.items():
        limits = field.get("constraints", {})
        cells = [row[column] for row in rows]
        assert not limits.get("required") or all(cells)
        assert not limits.get("unique") or len(set(cells)) == len(cells)
        for cell in filter(None, cells):
            if field["type"] == "number":
                assert limits["minimum"] <= float(cell) <= limits["maximum"]
            assert cell in limits.get("enum", [cell])


@pytest.mark.parametrize("fields", TABLES.values(), ids=TABLES)
def test_every_number_has_its_unit_in_its_header_and_limits__analytic(fields: tuple[Any, ...]) -> None:
    assert len({field.column for field in fields}) == len(fields)
    for field in fields:
        assert field.allowed_in >= field.needed_by
        if field.unit:
            assert stem_of(field) != field.column
        if field.is_number:
            assert field.low is not None
            assert field.high is not None


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["plain", "byte-order mark"])
def test_a_table_reads_the_same_with_a_byte_order_mark_and_other_line_ends__analytic(
    tmp_path: Path, mark: bytes
) -> None:
    path = tmp_path / "soils.csv"
    text = demo_path("soils.csv").read_bytes().replace(b"\r\n", b"\n")
    path.write_bytes(mark + text.replace(b"\n", b"\r\n") + b"\r\n,,\r\n".replace(b",", b"," * 16))
    assert dict(read_soils(path)) == dict(SOILS)


def test_a_name_that_is_not_there_is_answered_with_those_that_are__pinned() -> None:
    with pytest.raises(FileError, match=r'soils\.csv, soil block c: is not there; .*"Block C", "Block F"'):
        SOILS["block c"]
    with pytest.raises(FileError, match=r"water Well: .*did you mean"):
        WATERS["Well"]
    assert SOILS.get("block c") is None


NA = "exchangeable_na_cmol_c_per_kg"
CL = "extract_cl_mmol_c_per_l"


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        ({"cec_cmol_c_per_kg": None}, ["row 1, column cec_cmol_c_per_kg", "is missing", "in cmol_c/kg"]),
        ({CL: None}, [f"row 2 (Block C), column {CL}: is missing"]),
        ({CL: ""}, [f"row 2 (Block C), column {CL}: is empty", "report"]),
        ({"origin": ""}, ["row 2 (Block C), column origin: is empty"]),
        ({"colour": "red"}, ["row 1, column 34, colour", "is not a column", "rename or delete"]),
        ({"depth_in": "6"}, ["depth_in", "wrong unit in its header (in)", "in cm", "write depth_cm"]),
        ({"exchangeable_na_mg_per_kg": "993"}, ["(mg_per_kg)", "write exchangeable_na_cmol_c_per_kg"]),
        ({"esp": "18"}, ["(no unit)", "write esp_pct"]),
        ({NA: "high"}, ["row 2", "exchangeable_na", "= high: is not a number"]),
        ({NA: "4,32"}, ["= 4,32: has a decimal comma", "write 4.32"]),
        ({NA: "-4.32"}, ["-4.32 cmol_c/kg: is negative", "0 to 200 cmol_c/kg"]),
        ({NA: "432"}, ["432 cmol_c/kg: is absurd", "as the laboratory printed it"]),
        ({NA: "nan"}, ["= nan: is not a number"]),
        ({"depth_cm": "1500"}, ["row 2, column depth_cm", "1500 cm: is absurd"]),
        ({NA: "10.4"}, ["row 2 (Block C), columns", "cec_", "1.25 of a CEC"]),
        ({CL: "15"}, ["columns extract_", "charge imbalance", "limit is 10 %", "look for"]),
        ({"origin": "guess"}, ["column origin", "origin = guess", '"report", "totals", "summary"']),
        ({"soil_basis": "air-dry"}, ["column soil_basis", 'the words are "oven-dry"']),
        ({"extract_basis": "1:5"}, ["extract_basis = 1:5", '"saturation extract"']),
        ({"name": ""}, ["row 2, column name: is empty"]),
        ({"name": "Block F"}, ["row 3, column name = Block F", "is there already"]),
        ({"drained_water_l_per_kg": "0.60"}, ["columns bulk_density_kg_per_l", "drained_water"]),
        ({"total_na_mg_per_kg": "940"}, ["total_sodium of soil Block C", "not belong to a soil by report"]),
    ],
)  # fmt: skip
def test_a_wrong_table_is_refused_by_file_row_column_value_limit_and_remedy__pinned(
    tmp_path: Path, cells: dict[str, str | None], words: list[str]
) -> None:
    said = refusal(table(tmp_path, cells))
    assert said.startswith("soils.csv, ")
    assert [word for word in words if word not in said] == [], said


def test_waters_are_refused_in_the_same_words__pinned(tmp_path: Path) -> None:
    said = refusal(table(tmp_path, {"name": "pond", "na_mmol_c_per_l": "4"}, "waters.csv"))
    assert said.startswith("waters.csv, row 2 (pond), columns na_mmol_c_per_l")
    assert "charge imbalance of water pond" in said
    assert "column k_mmol_c_per_l" in refusal(table(tmp_path, {"k_mmol_c_per_l": None}, "waters.csv"))


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "the file is empty"),
        (b"\n\n", "the file is empty"),
        (b"name;origin\nA;report\n", "has no commas between its columns"),
        (b"name,name\nA,B\n", "stands twice"),
        (b"name,,origin\nA,,report\n", "column 2: has no header"),
        (b"name,origin\n\xff\xfe,report\n", "is not UTF-8 text at byte 12"),
        (b'name,"origin\n', "is not comma-separated text"),
    ],
)
def test_what_is_not_a_table_is_refused__pinned(tmp_path: Path, content: bytes, words: str) -> None:
    path = tmp_path / "soils.csv"
    path.write_bytes(content)
    assert words in refusal(path)


def test_a_table_without_rows_and_a_row_of_another_length_are_refused__pinned(tmp_path: Path) -> None:
    path = tmp_path / "soils.csv"
    header = ",".join(header_of("soils.csv"))
    path.write_text(header + "\n", encoding="utf-8")
    assert "there is no soil in the file" in refusal(path)
    path.write_text(header + "\nA,report,15\n", encoding="utf-8")
    assert "row 2: has 3 cells under" in refusal(path)


def test_a_file_that_cannot_be_read_is_refused_by_name__pinned(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "none.csv: cannot be read" in refusal(tmp_path / "none.csv")
    monkeypatch.setattr(table_file, "LARGEST_FILE", 10)
    assert "is larger than" in refusal(table(tmp_path, {}))


def test_demo_data_is_found_by_name_and_only_by_name__pinned() -> None:
    assert demo_path("pair.toml").is_file()
    for name in ("soil.csv", "../pyproject.toml", ""):
        with pytest.raises(FileError, match=r"is not among the demo data; the files are .*soils\.csv"):
            demo_path(name)


def test_demo_data_is_found_inside_an_installed_package__pinned(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    inside = tmp_path / "soilx" / "data_demo"
    inside.mkdir(parents=True)
    (inside / "soils.csv").write_text("name\n", encoding="utf-8")
    monkeypatch.setattr(files, "__file__", str(tmp_path / "soilx" / "column" / "files.py"))
    assert demo_path("soils.csv") == inside / "soils.csv"
    (inside / "soils.csv").unlink()
    inside.rmdir()
    with pytest.raises(FileError, match="it comes with the package"):
        demo_path("soils.csv")


def test_the_table_of_fields_reads_quantities_and_refuses_words_and_doubles__pinned() -> None:
    plain = Field(key="depth", column="depth_cm", title="depth", unit="cm", kind=Kind.DEPTH)
    assert read_field(plain, "3000 cm") == 30000.0
    with pytest.raises(UnitKindError, match="is told in words"):
        read_field(Field(key="place", column="place", title="place"), "garden")
    with pytest.raises(FileError, match="depth: stands twice"):
        by_key([plain, plain])


DEMO_BYTES = demo_path("soils.csv").read_bytes()


@given(
    start=st.integers(0, len(DEMO_BYTES)),
    length=st.integers(0, 40),
    put=st.one_of(
        st.binary(max_size=12), st.sampled_from([b",", b'"', b"\n", b"-", b"1e300", b"0", b"\x00", b"inf"])
    ),
)
@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_damaged_table_is_read_or_refused_and_nothing_else__analytic(
    tmp_path: Path, start: int, length: int, put: bytes
) -> None:
    path = tmp_path / "soils.csv"
    path.write_bytes(DEMO_BYTES[:start] + put + DEMO_BYTES[start + length :])
    try:
        soils = read_soils(path)
    except FileError as error:
        assert str(error).startswith("soils.csv")  # noqa: PT017 either outcome is right
    else:
        assert all(0 < soil.exchangeable_sodium_percentage < 100 for soil in soils.values())


LIMITS = {
    "depth_cm": (1, 200),
    "bulk_density_kg_per_l": (0.2, 2.2),
    "cec_cmol_c_per_kg": (0.1, 200),
    "saturation_percentage_pct": (10, 250),
    "initial_water_l_per_kg": (0.005, 2),
    "drained_water_l_per_kg": (0.01, 2),
    "driest_water_l_per_kg": (0.001, 2),
    "extract_ec_ds_per_m": (0, 100),
    "native_gypsum_g_per_kg": (0, 900),
    "total_so4_mmol_per_kg": (0, 6000),
    "other_anions_mmol_c_per_kg": (0, 3000),
    "esp_pct": (0, 95),
    "exchangeable_k_share_pct": (0, 40),
    "ca_to_mg_ratio": (0.01, 1e6),
    "selectivity_na_per_root_mmol_per_l": (1e-4, 1),
    "selectivity_k_per_root_mmol_per_l": (1e-4, 5),
    "selectivity_mg": (0.05, 20),
    "clay_pct": (0, 100),
    "calcium_carbonate_pct": (0, 100),
    "drain_test_h": (0, 2400),
    "ph": (2, 12),
}


def test_what_is_absurd_is_one_list__common_practice() -> None:
    for table, ions, conductive in (("soils", 1000, 25), ("waters", 700, 60)):
        for field in TABLES[table]:
            if field.low is None:
                continue
            column = field.column
            if column.startswith("exchangeable_") and column.endswith("cmol_c_per_kg"):
                wanted = (0, 200)
            elif column.startswith("total_") and column.endswith("mg_per_kg"):
                wanted = (0, 40000)
            elif column.endswith("mmol_c_per_l"):
                wanted = (0, ions)
            elif "_share_of_" in column:
                wanted = (0, 100)
            elif column == "ec_ds_per_m":
                wanted = (0.02 if table == "soils" else 0, conductive)
            else:
                wanted = LIMITS[column]
            assert (field.low, field.high) == wanted, column
            for end in (field.low, field.high):
                read_field(field, f"{end!r} {field.unit}".strip())
