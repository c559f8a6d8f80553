"""The commands as a shell sees them: what they print, on which stream, and with which exit code."""

import importlib.metadata
import json
import math
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

import soilx
from soilx import cli, cli_open, wording
from soilx.errors import ConvergenceError, TargetError
from soilx.show.text import CLOSING_LIMIT, table
from soilx.verification import CLAIMS

KEYS = {
    "initial_esp_pct",
    "final_esp_pct",
    "final_esp_by_layer_pct",
    "sodium_initial_mg_per_kg",
    "sodium_leached_mg_per_kg",
    "sodium_left_mg_per_kg",
    "gypsum_left_g_per_kg",
    "exchange_efficiency",
    "portions",
    "closing_error",
    "defaults",
}
PORTION_KEYS = {
    "volume_l_per_kg",
    "pore_volumes",
    "na_mmol_per_l",
    "ca_mmol_per_l",
    "ec_ds_per_m",
    "sar",
    "clarity",
}
PAIR = soilx.demo_path("pair.toml")
SCENARIOS = sorted(set(PAIR.parent.glob("*.toml")) - set(PAIR.parent.glob("decision_*")))
STARTS_WITHIN = 30.0


def refuse_constant(text):
    raise AssertionError(f"{text} is no JSON")


def strict(text):
    """The value of strict JSON: NaN and infinities are refused."""
    return json.loads(text, parse_constant=refuse_constant)


@pytest.fixture
def run(capsys):
    def run(*arguments):
        code = cli.run_command([str(one) for one in arguments])
        said = capsys.readouterr()
        return code, said.out, said.err

    return run


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_leach_json_of_every_demo_scenario_has_its_keys_and_closes__conservation(run, path):
    code, out, err = run("leach", path, "--json")
    assert (code, err) == (0, "")
    pair = strict(out)
    assert list(pair) == ["treated", "untreated"]
    for side in pair.values():
        assert set(side) >= KEYS
        assert side["portions"]
        for portion in side["portions"]:
            assert set(portion) >= PORTION_KEYS
            assert portion["clarity"] in {"clear", "may cloud", "cloudy", "no leachate"}
        assert set(side["closing_error"]) == {"Ca", "Mg", "Na", "K", "SO4", "Cl", "HCO3"}
        assert all(abs(error) < CLOSING_LIMIT for error in side["closing_error"].values())
        sodium = side["sodium_initial_mg_per_kg"] + side["sodium_added_mg_per_kg"]
        assert sodium == pytest.approx(
            side["sodium_leached_mg_per_kg"] + side["sodium_left_mg_per_kg"], rel=1e-9
        )


def test_leach_json_is_the_library_s_own_run__analytic(run):
    _, out, _ = run("leach", PAIR, "--json")
    scenario = soilx.read_scenario(PAIR)
    pair = strict(out)
    assert pair["treated"] == strict(json.dumps(soilx.leach(scenario).summary()))
    assert pair["untreated"] == strict(json.dumps(soilx.leach(scenario.without_gypsum()).summary()))


def test_the_demo_pair_leaches_711_and_282__pinned(run):
    # Computed once with the bracketed solver; nobody outside has confirmed them.
    _, out, _ = run("leach", PAIR, "--json")
    pair = strict(out)
    assert pair["treated"]["sodium_leached_mg_per_kg"] == pytest.approx(711, abs=0.5)
    assert pair["treated"]["sodium_left_mg_per_kg"] == pytest.approx(229, abs=0.5)
    assert pair["untreated"]["sodium_leached_mg_per_kg"] == pytest.approx(282, abs=0.5)
    assert pair["untreated"]["sodium_left_mg_per_kg"] == pytest.approx(658, abs=0.5)


def test_the_report_shows_pair_sentence_balance_clarity_and_cautions__analytic(run):
    code, out, err = run("leach", PAIR)
    assert (code, err) == (0, "")
    unwrapped = " ".join(out.split())
    for part in (
        "treated untreated",
        "sodium, leached mg/kg 711 282",
        "sodium, left mg/kg 229 658",
        "exchangeable sodium, end % of CEC 7.1 20.4",
        "clear clear",
        "clear cloudy",
        "closing errors",
        wording.CAUTION_RATE,
        wording.CAUTION_LEACHATE,
        wording.MODEL_LEAVES_OUT,
        wording.CLEAR_IS_NOT_RECLAIMED,
    ):
        assert part in unwrapped
    for name in soilx.read_scenario(PAIR).defaults:
        assert f"  {name}: " in out


def test_a_balance_that_is_open_fails__conservation(run, monkeypatch):
    monkeypatch.setattr("soilx.cli.CLOSING_LIMIT", 0.0)
    code, out, err = run("leach", PAIR, "--json")
    assert code == 1
    assert strict(out)
    assert "balance of" in err


def test_a_balance_that_is_not_a_number_fails__conservation(run, monkeypatch):
    summary = soilx.Run.summary
    monkeypatch.setattr(
        soilx.Run, "summary", lambda self: summary(self) | {"closing_error": {"Na": math.nan}}
    )
    code, _, err = run("leach", PAIR)
    assert code == 1
    assert "balance of Na, treated" in err


def test_verify_prints_every_claim_and_holds__its_own_sources(run):
    code, out, err = run("verify", "--json")
    assert (code, err) == (0, "")
    rows = strict(out)
    assert [row["id"] for row in rows] == [claim.id for claim in CLAIMS]
    assert all(row["ok"] for row in rows if row["gating"])


def test_verify_reports_a_broken_claim__analytic(run, monkeypatch):
    from dataclasses import replace

    from soilx.verification import examine

    claim = next(claim for claim in CLAIMS if claim.id == "units.acre_inch")
    broken = replace(claim, printed={**claim.printed, "gallons": "27155"})
    context = next(claim for claim in CLAIMS if claim.id == "exchange.sar_of_a_water_as_printed")
    monkeypatch.setattr(cli, "verify", lambda: [examine(broken), examine(context)])
    code, out, err = run("verify")
    assert code == 1
    assert "FAILED  units.acre_inch" in out
    assert "0 of 1 gating claims hold" in out
    assert err == "soilx: 1 check(s) failed: units.acre_inch\n"
    code, out, _ = run("verify", "--json")
    assert code == 1
    assert [row["ok"] for row in strict(out)] == [False, False]


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["leach", "nowhere.toml"], "nowhere.toml"),
        (["leach", "nowhere.toml", "--json"], "nowhere.toml"),
        (["leach", str(PAIR.parent)], "cannot be read"),
        (["leach"], "SCENARIO.toml"),
        (["leach", str(PAIR), "--yaml"], "--yaml"),
        (["leech", str(PAIR)], "leech"),
        (["open", "garden"], "notebook = garden"),
        (["open", "lecture", "--port", "0"], "0"),
        (["open", "lecture", "--port", "eight"], "eight"),
    ],
)
def test_bad_input_is_one_line_and_exit_code_2__analytic(run, arguments, says):
    code, out, err = run(*arguments)
    assert code == 2
    assert out == ""
    assert err.startswith("soilx: ")
    assert err.count("\n") == 1
    assert says in err


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('gypsum = "3.0 g/kg"', 'gypsum = "3.0"', "unit"),
        ('gypsum = "3.0 g/kg"', 'gypsum = "-3.0 g/kg"', "gypsum"),
        ('gypsum = "3.0 g/kg"', 'gypsum = "3.0 ton/acre"', "short_ton"),
        ('total_sodium = "940 mg/kg"', 'total_sodium = "940 t/ha"', "total_sodium"),
        ("[scenario]", "[scenario", "pair"),
    ],
)
def test_a_bad_scenario_file_is_named_in_one_line__analytic(run, tmp_path, old, new, says):
    path = tmp_path / "pair.toml"
    text = PAIR.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    code, out, err = run("leach", path, "--json")
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert "pair.toml" in err
    assert says in err


@pytest.mark.parametrize("failure", [TargetError, ConvergenceError])
def test_what_cannot_be_reached_is_exit_code_1__analytic(run, monkeypatch, failure):
    def fail(_):
        raise failure("target: cannot\n be reached")

    monkeypatch.setattr(cli, "leach", fail)
    assert run("leach", PAIR) == (1, "", "soilx: target: cannot be reached\n")


def test_help_and_version_are_no_errors__analytic(run):
    code, out, _ = run("--help")
    assert code == 0
    assert {"open", "leach", "verify"} <= set(out.split())
    assert run("leach", "--help")[0] == 0
    assert run()[0] == 2


@pytest.mark.skipif(
    not list(importlib.metadata.distributions(name="soilx")),
    reason="soilx is run without being installed, and then has no version",
)
def test_the_version_is_the_installed_one__analytic(run):
    assert run("--version") == (0, f"soilx {importlib.metadata.version('soilx')}\n", "")


def test_main_leaves_with_the_exit_code__analytic(monkeypatch, capsys):
    monkeypatch.setattr(sys, "argv", ["soilx", "leach", "nowhere.toml"])
    with pytest.raises(SystemExit) as left:
        cli.main()
    assert left.value.code == 2
    assert "nowhere.toml" in capsys.readouterr().err


def test_a_reader_that_leaves_early_is_no_error__analytic():
    environment = os.environ | {"PYTHONPATH": str(Path(soilx.__file__).resolve().parents[1])}
    reading, writing = os.pipe()
    os.close(reading)
    command = [sys.executable, "-m", "soilx.cli", "leach", str(PAIR)]
    done = subprocess.run(
        command, env=environment, stdout=writing, stderr=subprocess.PIPE, check=False, timeout=60
    )
    os.close(writing)
    assert (done.returncode, done.stderr) == (0, b"")


def test_json_refuses_what_is_no_number__analytic():
    with pytest.raises(ValueError, match="JSON"):
        cli.to_json({"sar": math.nan})


def test_tables_put_figures_to_the_right__analytic():
    assert (
        table(("soil", "ESP"), [("C", "7.1"), ("Bed 7", "20.4")]) == "soil    ESP\nC       7.1\nBed 7  20.4"
    )


def test_only_notebooks_that_exist_are_offered__analytic(monkeypatch, tmp_path):
    offered = cli.offered_notebooks()
    assert "lecture" in offered
    assert set(offered) <= set(cli.NOTEBOOKS)
    assert all(path.is_file() for path in offered.values())
    # As in a wheel: the notebooks lie inside the package.
    inside = tmp_path / "soilx" / "notebooks"
    inside.mkdir(parents=True)
    (inside / "bench.py").touch()
    monkeypatch.setattr(cli_open, "__file__", str(tmp_path / "soilx" / "cli_open.py"))
    assert cli.offered_notebooks() == {"bench": inside / "bench.py"}


def test_a_port_in_use_is_refused__analytic(run):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        code, _, err = run("open", "lecture", "--headless", "--port", taken.getsockname()[1])
    assert code == 2
    assert "is in use" in err


@pytest.mark.parametrize("name", cli.offered_notebooks())
def test_open_serves_the_notebook_on_the_loopback_alone__analytic(name):
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "soilx.cli", "open", name, "--headless", "--port", str(port)]
    environment = os.environ | {"PYTHONPATH": str(Path(soilx.__file__).resolve().parents[1])}
    server = subprocess.Popen(
        command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
    )
    try:
        ends = time.monotonic() + STARTS_WITHIN
        page = ""
        while not page and time.monotonic() < ends:
            assert server.poll() is None
            try:
                with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=5) as answer:
                    page = answer.read().decode()
            except OSError:
                time.sleep(0.2)
        assert "<html" in page
    finally:
        os.killpg(server.pid, signal.SIGTERM)
        assert server.wait(timeout=15) is not None
