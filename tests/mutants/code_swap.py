"""Other code in a module's place: from its import on, or in functions that are there already."""

from __future__ import annotations

import gc
import importlib.abc
import importlib.machinery
import importlib.util
import sys
from collections.abc import Iterator
from pathlib import Path
from types import CodeType, FunctionType

from tests.mutants.coverage_map import ROOT

Functions = dict[tuple[str, str, int], list[FunctionType]]


class _Mutated(importlib.machinery.SourceFileLoader):
    """A loader that runs other code than stands in its file, and writes nothing down."""

    code: CodeType

    def get_code(self, fullname: str) -> CodeType:  # noqa: ARG002 - the loader's protocol
        return self.code


class _Finder(importlib.abc.MetaPathFinder):
    def __init__(self, name: str, path: Path, code: CodeType) -> None:
        self.name, self.path, self.code = name, path, code

    def find_spec(self, fullname: str, path: object, target: object = None) -> object:  # noqa: ARG002
        if fullname != self.name:
            return None
        loader = _Mutated(fullname, str(self.path))
        loader.code = self.code
        return importlib.util.spec_from_file_location(fullname, self.path, loader=loader)


def name_of(file: str) -> str:
    """Dotted name of the module in a file."""
    return file.removesuffix(".py").replace("/", ".")


def import_instead(file: str, code: CodeType) -> None:
    """Forget what was imported of the project, and import the file's module with other code from now on."""
    for module, loaded in list(sys.modules.items()):
        path = getattr(loaded, "__file__", None) or ""
        if path.startswith(f"{ROOT}/") and not module.startswith(("tests.mutants", "__main__")):
            del sys.modules[module]
    sys.meta_path.insert(0, _Finder(name_of(file), ROOT / file, code))


def functions_there() -> Functions:
    """Every function of soilx in this process, by where its code stands."""
    found: Functions = {}
    for thing in gc.get_objects():
        if isinstance(thing, FunctionType) and thing.__code__.co_filename.startswith(f"{ROOT}/soilx/"):
            found.setdefault(_place_of(thing.__code__), []).append(thing)
    return found


def forget_results() -> None:
    """Empty what functions of soilx remember of earlier calls."""
    for thing in gc.get_objects():
        if hasattr(type(thing), "cache_clear") and getattr(thing, "__module__", "").startswith("soilx."):
            thing.cache_clear()


def swap(functions: Functions, code: CodeType) -> None:
    """Give functions the code that they have in another version of their module, line for line the same."""
    for new in _codes_in(code):
        for function in functions.get(_place_of(new), []):
            function.__code__ = new


def _place_of(code: CodeType) -> tuple[str, str, int]:
    return code.co_filename, code.co_qualname, code.co_firstlineno


def _codes_in(code: CodeType) -> Iterator[CodeType]:
    """Code of the functions and methods of a module, without those within another function."""
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            if "<locals>" not in inner.co_qualname:
                yield inner
            yield from _codes_in(inner)
