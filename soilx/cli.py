"""The commands: `soilx open`, `soilx leach`, `soilx rate`, `soilx verify`, `soilx handout`, `soilx homework`.

Exit codes: 0 done; 1 a check failed, an answer is not right or a target cannot be reached; 2 bad input. What
is not 0 says why, in one line on standard error.
"""

import contextlib
import io
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

import click

from soilx.cli_handout import make_handout
from soilx.cli_homework import homework
from soilx.cli_open import NOTEBOOKS, notebook_path, offered_notebooks, open_notebook
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

__all__ = ["NOTEBOOKS", "commands", "main", "notebook_path", "offered_notebooks", "run_command", "to_json"]


def main() -> None:
    """Run one command and leave with its exit code."""
    for stream in (sys.stdout, sys.stderr):
        # A terminal that has no "°" or "→" shows them as it can: what was computed is not lost for a sign.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
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
        sys.stdout.flush()
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
    except OSError as failure:
        return _refuse_output(failure)
    return code if isinstance(code, int) else DONE


def _refuse_output(failure: OSError) -> int:
    # Files are read and written by readers of their own: what is left is where the result was to be printed.
    with contextlib.suppress(OSError):
        sys.stdout.close()
    return _refuse(
        f"output: cannot be written: {failure.strerror or failure}; the limit is the computer's, such as a "
        "full disk; print it to another place."
    )


def _refuse(message: str, code: int = BAD_INPUT) -> int:
    click.echo("soilx: " + " ".join(message.split()), err=True)
    return code


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="soilx", message="%(prog)s %(version)s")
def commands() -> None:
    """Calcium from gypsum, sodium on clay, and the water that carries it off."""


commands.add_command(open_notebook)


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
commands.add_command(make_handout)


@commands.command("verify")
@click.option("--json", "as_json", is_flag=True, help="Print a list of rows for programs.")
@click.option(
    "--html",
    "page",
    metavar="PAGE.html",
    type=click.Path(path_type=Path),
    help="Write every check, with pictures, as one page that opens without a network.",
)
def verify_claims(as_json: bool, page: Path | None) -> int:
    """Compute every published check anew and print it beside what was printed."""
    if page is not None:
        # Charts take seconds to load: only who draws waits for them.
        from soilx.handouts.write import require_page
        from soilx.verification.page import summary, write_page

        require_page(page)  # before the work, which takes a while
    verdicts = verify()
    if page is not None:
        size = write_page(verdicts, page)
        if not as_json:
            click.echo(f"{page}: {size / 1000:.0f} kB. {summary(verdicts)}")
    if as_json:
        click.echo(to_json([verdict.as_row() for verdict in verdicts]))
    elif page is None:
        click.echo(verdict_report(verdicts))
    failed = [verdict.claim.id for verdict in verdicts if verdict.claim.gating and not verdict.ok]
    return _refuse(f"{len(failed)} check(s) failed: {', '.join(failed)}", CHECK_FAILED) if failed else DONE


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
