"""A table that the reader brings, read as the library reads any other."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TypeVar

from soilx.errors import SoilxError
from soilx.show.upload import Upload

_Read = TypeVar("_Read")


def read_upload(
    given: tuple[str, bytes] | None, read: Callable[[Path], Mapping[str, _Read]], *, shown: object
) -> dict[str, _Read]:
    """What a file holds, by name; where it cannot be read, nothing, and the button says why.

    Parameters
    ----------
    given : tuple of str and bytes, or None
        `Upload.value`.
    read : callable
        Reads a path, as `soilx.practice.soil_test.report.read_reports`.
    shown : object
        `Upload.shown`, whose button says what came of it.
    """
    if given is None:
        return {}
    name, content = given
    with tempfile.TemporaryDirectory() as folder:
        # Errors name the file: it keeps its own name, without any folder that could come with it.
        path = Path(folder) / (Path(name).name.replace("\0", "") or "table.csv")
        try:
            path.write_bytes(content)
            found = dict(read(path))
            said = f"{path.name}: {len(found)} read ({', '.join(found)})."
        except (SoilxError, OSError) as refused:
            found, said = {}, str(refused)
    control = getattr(shown, "control", None)
    if isinstance(control, Upload):
        control.say(said)
    return found
