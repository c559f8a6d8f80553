"""`soilx open`: a notebook served as an app, to this machine alone unless it is asked for otherwise."""

import os
import secrets
import socket
import subprocess
import sys
from pathlib import Path
from typing import Final

import click

from soilx.errors import FileError, quoted

NOTEBOOKS: Final = ("lecture", "exchange", "bench", "field", "homework")

LOOPBACK: Final = ("127.0.0.1", "localhost", "::1")
"""Names of this machine as only programs on it can reach it."""

SHORTEST_TOKEN: Final = 12
"""What keeps strangers of a network out must not be guessed [characters]."""


@click.command("open")  # noqa: RET503 - its last line does not return: another program runs on
@click.argument("notebook", metavar="|".join(NOTEBOOKS))
@click.option("--port", type=click.IntRange(1, 65535), help="Port on this machine; a free one unless given.")
@click.option("--headless", is_flag=True, help="Serve without opening a browser.")
@click.option(
    "--folder",
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="For bench: save each record here at once; without it nothing is written.",
)
@click.option(
    "--host",
    default=LOOPBACK[0],
    show_default=True,
    help="Address to serve at; 0.0.0.0 lets the whole network in, behind a token.",
)
@click.option(
    "--token-file",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Holds the token for --host; one is made and printed unless given.",
)
def open_notebook(
    notebook: str, port: int | None, headless: bool, folder: Path | None, host: str, token_file: Path | None
) -> int:
    """Serve a notebook as an app on this machine and open it in the browser."""
    kept = _folder_argument(notebook, folder, host)
    path = notebook_path(notebook)
    token = _token(host, token_file)
    chosen = _free_port(host, port)
    # Run, never edit: whoever reaches the page moves sliders, and cannot see or change code.
    command = [sys.executable, "-m", "marimo", "run", str(path), "--host", host, "--no-sandbox"]
    command += ["--port", str(chosen)]
    command += ["--headless"] if headless else []
    environment = os.environ | {"MARIMO_SKIP_UPDATE_CHECK": "1"}
    if token:
        click.echo(
            f"{notebook} is open to the network: http://{_shown_host(host)}:{chosen}/?access_token={token}\n"
            "Whoever has this address can use it; stop the command to close it."
        )
    if os.name == "nt":
        secret = ["--token", "--token-password-file", "-"] if token else ["--no-token"]
        done = subprocess.run(
            [*command, *secret, *kept], env=environment, input=token, text=True, check=False
        )
        return done.returncode
    # The token goes through a pipe: it is in no list of processes, and on no disk.
    secret = ["--token", "--token-password-file", _piped(token)] if token else ["--no-token"]
    # The server takes the place of this process, so that whoever stops the command stops the server.
    os.execve(command[0], [*command, *secret, *kept], environment)


def _folder_argument(notebook: str, folder: Path | None, host: str) -> list[str]:
    if folder is None:
        return []
    if notebook != "bench":
        raise click.UsageError(
            f"folder = {quoted(str(folder))}: is of no use to {notebook}; the limit is ours: only bench "
            "saves records; leave --folder out."
        )
    if host not in LOOPBACK:
        raise click.UsageError(
            f"folder = {quoted(str(folder))}: is not for whoever comes by the network; the limit is ours: "
            f"a page that is served at {quoted(host)} writes nothing; leave --folder or --host out."
        )
    if not folder.is_dir():
        raise click.UsageError(
            f"folder = {quoted(str(folder))}: is not there; the limit is ours: records are saved in a "
            "folder that is; make it, then open again."
        )
    return ["--", "--folder", str(folder.resolve())]


def _token(host: str, file: Path | None) -> str:
    """What a browser has to bring; empty where only this machine is served."""
    if host in LOOPBACK:
        if file is not None:
            raise click.UsageError(
                f"token file = {quoted(str(file))}: is of no use at {host}, which only this machine reaches; "
                "give --host too, or leave --token-file out."
            )
        return ""
    if file is None:
        return secrets.token_urlsafe(18)
    try:
        token = file.read_text("utf-8").strip()
    except (OSError, ValueError) as error:
        raise FileError(
            f"token file = {quoted(str(file))}: cannot be read: {getattr(error, 'strerror', None) or error}; "
            "the limit is the computer's; check its name, or leave --token-file out."
        ) from error
    if len(token) < SHORTEST_TOKEN or not token.isascii() or not all(c.isalnum() or c in "-_" for c in token):
        raise FileError(
            f"token file = {quoted(str(file))}: holds no token of {SHORTEST_TOKEN} letters, figures, - and _ "
            "or more; the limit is ours, since a short one is guessed; write a longer one, or leave "
            "--token-file out."
        )
    return token


def _piped(token: str) -> str:
    """Where the server reads the token, once."""
    reading, writing = os.pipe()
    os.write(writing, token.encode("ascii"))
    os.close(writing)
    os.set_inheritable(reading, True)
    return f"/dev/fd/{reading}"


def _shown_host(host: str) -> str:
    """The address that another machine can ask for."""
    if host not in ("0.0.0.0", "::"):
        return f"[{host}]" if ":" in host else host
    return socket.gethostname()


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


def _free_port(host: str, wanted: int | None) -> int:
    try:
        family, _, _, _, address = socket.getaddrinfo(host, wanted or 0, type=socket.SOCK_STREAM)[0]
    except (OSError, UnicodeError):
        raise click.UsageError(
            f"host = {quoted(host)}: is no address of this machine; the limit is the network's; give 0.0.0.0 "
            "for all of them, or leave --host out."
        ) from None
    with socket.socket(family) as probe:
        try:
            probe.bind(address)
        except OSError as error:
            what = f"port = {wanted}" if wanted else f"host = {quoted(host)}"
            raise click.UsageError(
                f"{what}: is in use or not allowed ({error.strerror}); the limit is this machine's; choose "
                "another, or leave it out."
            ) from None
        return int(probe.getsockname()[1])
