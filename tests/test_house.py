"""What holds for the project as a whole: its public names, its glossary, its contract, its files."""

import ast
import importlib.util
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import soilx

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "soilx"
MODULES = sorted(PACKAGE.rglob("*.py"))
README = (ROOT / "README.md").read_text("utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))

NOT_IMPORTED = ("altair", "marimo", "anywidget", "vl_convert", "click", "scipy.optimize")


def python(code):
    """What a fresh interpreter prints for a line of code."""
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT, timeout=60
    )
    return done.stdout.strip()


def test_public_names_are_listed_once_in_order_and_exist__analytic():
    listed = list(soilx.__all__)
    # As the linter sorts them: constants, then classes, then functions.
    assert len(set(listed)) == len(listed)
    assert all(hasattr(soilx, name) for name in listed)
    tree = ast.parse((PACKAGE / "__init__.py").read_text("utf-8"))
    imported = {
        alias.asname or alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and str(node.module).startswith("soilx.")
        for alias in node.names
    }
    assert imported == set(listed)


@pytest.mark.parametrize("name", [name for name in soilx.__all__ if name.islower() or name[1].islower()])
def test_public_names_say_what_they_are__analytic(name):
    first = (getattr(soilx, name).__doc__ or "").strip().partition("\n")[0]
    assert first.endswith((".", ";")) or len(first) > 10
    assert not first.startswith(f"{name}(")


def test_the_glossary_holds_every_public_name_and_no_other__analytic():
    glossary = DEVELOPERS.partition("## The public names")[2].partition("\n## ")[0]
    named = re.findall(r"^\| `(\w+)` \| .+ \|$", glossary, flags=re.MULTILINE)
    assert named == sorted(named)
    assert set(named) == set(soilx.__all__)


def test_importing_soilx_draws_and_serves_nothing__analytic():
    heavy = ", ".join(repr(name) for name in NOT_IMPORTED)
    found = python(f"import sys, soilx; print([name for name in ({heavy},) if name in sys.modules])")
    assert found == "[]"


@pytest.mark.skipif(
    not importlib.util.find_spec("importlinter"), reason="the import contract needs the dev extra"
)
def test_rooms_depend_one_way__analytic():
    found = subprocess.run(
        [sys.executable, "-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
        timeout=120,
    )
    assert found.returncode == 0, found.stdout


def test_only_units_imports_pint__analytic():
    importers = {
        path.relative_to(PACKAGE).as_posix()
        for path in MODULES
        if re.search(r"^\s*(import|from) pint\b", path.read_text("utf-8"), flags=re.MULTILINE)
    }
    assert importers == {"units.py"}


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_every_module_says_what_it_is_and_what_it_gives__analytic(path):
    tree = ast.parse(path.read_text("utf-8"))
    assert ast.get_docstring(tree)
    # Input is refused by name: an assert would vanish under python -O.
    assert not [node.lineno for node in ast.walk(tree) if isinstance(node, ast.Assert)]


def test_readme_states_its_two_commands__analytic():
    commands = re.findall(r"<!-- command: (\w+) -->\n```sh\n(.+)\n```", README)
    assert [name for name, _ in commands] == ["open", "test"]
    assert commands[0][1].endswith("soilx open lecture")
    assert commands[1][1].endswith("pytest")
    script = (ROOT / ".ci" / "run").read_text("utf-8")
    assert "readme_command test" in script


def test_readme_s_python_runs__analytic(tmp_path, monkeypatch):
    (example,) = re.findall(r"```python\n(.+?)```", README, flags=re.DOTALL)
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {}
    exec(compile(example, "README.md", "exec"), names)
    run = names["run"]
    assert run.exchangeable_sodium_percentage.shape == (run.steps + 1, run.layers)
    assert soilx.read_scenario(tmp_path / "block_c_again.toml") == names["treated"]


def test_every_dependency_has_its_reason__analytic():
    developers = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    extras = PROJECT["project"]["optional-dependencies"]
    for wanted in [*PROJECT["project"]["dependencies"], *extras["test"], *extras["dev"]]:
        name = re.match(r"[\w.-]+", wanted)[0]
        assert f"`{name}`" in developers, f"{name} is wanted without a reason in DEVELOPERS.md"


def test_the_top_holds_what_it_should_and_nothing_else__analytic():
    if not (ROOT / ".git").exists() or not shutil.which("git"):
        pytest.skip("not a checkout: what is tracked cannot be asked")
    listed = subprocess.run(
        ["git", "ls-files"], capture_output=True, text=True, check=True, cwd=ROOT
    ).stdout.split("\n")
    top = {Path(name).parts[0] for name in listed if name and not name.startswith(".")}
    assert top <= {
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "pyproject.toml",
        "notebooks",
        "soilx",
        "tests",
        "data_demo",
    }
