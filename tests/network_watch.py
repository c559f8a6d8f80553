"""A server that writes down whatever it asks of a network: nothing, if all is as it should be."""

import os
from pathlib import Path

# Loaded by the interpreter before anything else, because it lies on the path as sitecustomize.
_HOOK = """
import os, sys
_told = os.open(os.environ["SOILX_TEST_ASKED"], os.O_WRONLY | os.O_APPEND | os.O_CREAT)
def _watch(event, given):
    if event in ("socket.connect", "socket.sendto"):
        _note(event, given[1])
    elif event in ("socket.getaddrinfo", "socket.gethostbyname", "urllib.Request", "http.client.connect"):
        _note(event, given[0])
def _note(event, asked):
    where = asked[0] if isinstance(asked, tuple) else asked
    if isinstance(where, (str, bytes)) and str(where) not in ("127.0.0.1", "localhost", "::1", "", "None"):
        os.write(_told, f"{event} {where}\\n".encode())
sys.addaudithook(_watch)
"""


def watched(folder: Path, *paths: object) -> dict[str, str]:
    """Environment of a Python that is watched; what it asks comes to stand in `asked_of` the folder.

    Parameters
    ----------
    folder : Path
        Of this server's own.
    *paths : object
        What else it imports from.
    """
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "sitecustomize.py").write_text(_HOOK, encoding="utf-8")
    here = [str(folder), *map(str, paths), *filter(None, [os.environ.get("PYTHONPATH")])]
    return {
        **os.environ,
        "PYTHONPATH": os.pathsep.join(here),
        "SOILX_TEST_ASKED": str(folder / "asked.txt"),
    }


def asked_of(folder: Path) -> list[str]:
    """Every address beyond the loopback that was asked for, and by which call."""
    return (folder / "asked.txt").read_text("utf-8").splitlines()
