"""The commands: `soilx open`, `soilx leach`, `soilx rate`, `soilx verify`, `soilx handout`, `soilx homework`.

Exit codes: 0 done; 1 a check failed, an answer is not right or a target cannot be reached; 2 bad input. What
is not 0 says why, in one line on standard error.
"""

import json
import os
import socket
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

import click

from soilx.cli_homework import homework
from soilx.cli_rate import rate
from soilx.column.files import read_scenario
from soilx.column.leaching import leach
from soilx.errors import ConvergenceError, SoilxError, TargetError
from soilx.show.text import CLOSING_LIMIT, pair_report
from soilx.verification import verify
from soilx.verification.report import verdict_report

DONE: Final = 0
CHECK_FAILED: Final = 1
BAD_INPUT: Final = 2

NOTEBOOKS: Final = ("lecture", "exchange", "bench", "field", "homework")


def main() -> None:
    """Run one command and leave with its exit code."""
    sys.exit(run_command(sys.argv[1:]))


def run_command(arguments: Sequence[str]) -> int:
    """Exit code of one command line; what it has to say is printed.

    Parameters
    ----------
    arguments : sequence of str
        What stands after `soilx`.
    """
    try:
        code = commands.main(args=list(arguments), prog_name="soilx", standalone_mode=False)
    except click.exceptions.Abort:
        return BAD_INPUT
    except SystemExit:
        # click leaves by itself only where whoever reads has left: the rest is for nobody, and no error.
        return DONE
    except click.ClickException as refusal:
        return _refuse(refusal.format_message())
    except (TargetError, ConvergenceError) as failure:
        return _refuse(str(failure), CHECK_FAILED)
    except SoilxError as refusal:
        return _refuse(str(refusal))
    return code if isinstance(code, int) else DONE


def _refuse(message: str, code: int = BAD_INPUT) -> int:
    click.echo("soilx: " + " ".join(message.split()), err=True)
    return code


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="soilx", message="%(prog)s %(version)s")
def commands() -> None:
    """Calcium from gypsum, sodium on clay, and the water that carries it off."""


@commands.command("open")
@click.argument("notebook", metavar="|".join(NOTEBOOKS))
@click.option("--port", type=click.IntRange(1, 65535), help="Port on this machine; a free one unless given.")
@click.option("--headless", is_flag=True, help="Serve without opening a browser.")
@click.option(
    "--folder",
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="For bench: save each record here at once; without it nothing is written.",
)
def open_notebook(notebook: str, port: int | None, headless: bool, folder: Path | None) -> int:
    """Serve a notebook as an app on this machine and open it in the browser."""
    kept = _folder_argument(notebook, folder)
    command = [sys.executable, "-m", "marimo", "run", str(notebook_path(notebook)), "--host", "127.0.0.1"]
    command += ["--no-sandbox", "--port", str(_free_port(port))]
    command += ["--headless"] if headless else []
    command += kept
    environment = os.environ | {"MARIMO_SKIP_UPDATE_CHECK": "1"}
    if os.name != "nt":
        # The server takes the place of this process, so that whoever stops the command stops the server.
        os.execve(command[0], command, environment)
    return subprocess.call(command, env=environment)


def _folder_argument(notebook: str, folder: Path | None) -> list[str]:
    if folder is None:
        return []
    if notebook != "bench":
        raise click.UsageError(
            f"folder = {folder}: is of no use to {notebook}; the limit is ours: only bench saves records; "
            "leave --folder out."
        )
    if not folder.is_dir():
        raise click.UsageError(
            f"folder = {folder}: is not there; the limit is ours: records are saved in a folder that is; "
            "make it, then open again."
        )
    return ["--", "--folder", str(folder.resolve())]


def offered_notebooks() -> dict[str, Path]:
    """The notebooks that this installation has, by name."""
    package = Path(__file__).resolve().parent
    # A wheel carries them inside the package, a checkout beside it.
    inside = package / "notebooks"
    folder = inside if inside.is_dir() else package.parent / "notebooks"
    return {name: path for name in NOTEBOOKS if (path := folder / f"{name}.py").is_file()}


def notebook_path(name: str) -> Path:
    """Where a notebook lies.

    Parameters
    ----------
    name : str
        One of `offered_notebooks`.

    Raises
    ------
    click.UsageError
        There is none of that name.
    """
    offered = offered_notebooks()
    if name not in offered:
        raise click.UsageError(
            f"notebook = {name}: there is none of that name here; choose one of {', '.join(offered)}."
        )
    return offered[name]


def _free_port(wanted: int | None) -> int:
    with socket.socket() as probe:
        try:
            probe.bind(("127.0.0.1", wanted or 0))
        except OSError:
            raise click.UsageError(
                f"port = {wanted}: is in use or not allowed; the limit is this machine's; choose another, or "
                "leave it out."
            ) from None
        return int(probe.getsockname()[1])


@commands.command("leach")
@click.argument("scenario", metavar="SCENARIO.toml", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object for programs.")
def leach_pair(scenario: Path, as_json: bool) -> int:
    """Leach a scenario's column, with its gypsum and without, and print the pair."""
    given = read_scenario(scenario)
    treated, untreated = leach(given), leach(given.without_gypsum())
    sides = {"treated": treated.summary(), "untreated": untreated.summary()}
    click.echo(to_json(sides) if as_json else pair_report(treated, untreated))
    for side, summary in sides.items():
        for element, error in summary["closing_error"].items():
            # Written so that a NaN is open too.
            if not abs(error) < CLOSING_LIMIT:
                return _refuse(
                    f"balance of {element}, {side} = {error:.1e}: is open; the limit is {CLOSING_LIMIT:g}, "
                    "soilx's own; please report the scenario.",
                    CHECK_FAILED,
                )
    return DONE


commands.add_command(rate)
commands.add_command(homework)


@commands.command("verify")
@click.option("--json", "as_json", is_flag=True, help="Print a list of rows for programs.")
def verify_claims(as_json: bool) -> int:
    """Compute every published check anew and print it beside what was printed."""
    verdicts = verify()
    click.echo(to_json([verdict.as_row() for verdict in verdicts]) if as_json else verdict_report(verdicts))
    failed = [verdict.claim.id for verdict in verdicts if verdict.claim.gating and not verdict.ok]
    return _refuse(f"{len(failed)} check(s) failed: {', '.join(failed)}", CHECK_FAILED) if failed else DONE


@commands.command("handout")
@click.argument("source", metavar="SCENARIO.toml|NOTEBOOK.py", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    "page",
    metavar="PAGE.html",
    type=click.Path(path_type=Path),
    required=True,
    help="The page to write; an older one is replaced.",
)
def make_handout(source: Path, page: Path) -> int:
    """Write a scenario, or a notebook (it is run), as one page that opens without a network and prints."""
    # Charts take seconds to load: only who draws waits for them.
    from soilx.handouts.scenario_page import write_handout

    size = write_handout(source, page)
    click.echo(f"{page}: {size / 1000:.0f} kB")
    return DONE


def to_json(value: Any) -> str:
    """Strict JSON: a number that does not exist is refused, never written as NaN.

    Parameters
    ----------
    value : object
        Plain values.
    """
    return json.dumps(value, allow_nan=False, ensure_ascii=False, indent=2)


if __name__ == "__main__":
    main()
