"""Where a module can be mutated: signs, operators, comparisons and coefficients, by its syntax tree."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass

SIGN, OPERATOR, COMPARISON, LOGIC, EXTREME = "sign", "operator", "comparison", "logic", "extreme"
FLOAT, INTEGER = "float", "integer"
KINDS = (SIGN, OPERATOR, COMPARISON, LOGIC, EXTREME, FLOAT, INTEGER)

_ARITHMETIC = {
    ast.Add: (SIGN, ast.Sub),
    ast.Sub: (SIGN, ast.Add),
    ast.Mult: (OPERATOR, ast.Div),
    ast.Div: (OPERATOR, ast.Mult),
    ast.Pow: (OPERATOR, ast.Mult),
    ast.FloorDiv: (OPERATOR, ast.Div),
    ast.BitAnd: (LOGIC, ast.BitOr),
    ast.BitOr: (LOGIC, ast.BitAnd),
}
_COMPARED = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
}
_EXTREMES = {"min": "max", "max": "min", "minimum": "maximum", "maximum": "minimum"}

# What is left out, by rule.
REFUSALS = "what a refusal says, not when"
TOLERANCES = "tolerances of solvers and rounding: a power of ten of 1e-5 or less"
ROUNDS = "how many rounds a solver may take, and cache sizes"
TEXT = "joining of text, tables and types"

_LOUD = {"refuse", "require", "get_close_matches", "_not_closed"}
_SAID = {"whose", "remedy", "wrong", "limit"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One mutant of one module.

    Attributes
    ----------
    number : int
        Which one of the module, in the order of its tree.
    line, last : int
        Lines of the statement it stands in, as a tracer counts them.
    at : int
        Line of the expression.
    function : str
        Qualified name of the function or class around it; empty at module level.
    kind : str
        One of `KINDS`.
    row : str
        The line's text, which names it while lines move.
    before, after : str
    """

    number: int
    line: int
    last: int
    at: int
    function: str
    kind: str
    row: str
    before: str
    after: str


class _Walk:
    """All changes of a tree, each with the means to make it."""

    def __init__(self, source: str, change: float, *, told: bool = True) -> None:
        self.rows, self.change, self.told = source.encode().split(b"\n"), change, told
        self.found: list[Place] = []
        self.makes: list[Callable[[], None]] = []
        self.left_out: Counter[str] = Counter()
        self.where: list[str] = []
        self.lines = (1, 1)
        self.rule = ""

    def visit(self, node: ast.AST, rule: str = "") -> None:
        if isinstance(node, ast.stmt):
            body = getattr(node, "body", None)
            self.lines = (node.lineno, body[0].lineno - 1 if body else node.end_lineno or node.lineno)
            self.lines = (self.lines[0], max(self.lines))
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            return
        named = isinstance(node, ast.FunctionDef | ast.ClassDef)
        if named:
            self.where.append(node.name)
        for change in self._changes(node):
            self._add(node, rule, *change)
        for name, value in ast.iter_fields(node):
            if name in {"annotation", "returns", "type_params"}:
                continue
            for child in value if isinstance(value, list) else [value]:
                if isinstance(child, ast.AST):
                    self.visit(child, rule or self._rule(node, name, child))
        if named:
            self.where.pop()

    def _rule(self, node: ast.AST, name: str, child: ast.AST) -> str:
        """The rule by which a child is left out, or nothing."""
        if isinstance(node, ast.Raise):
            return REFUSALS
        if isinstance(node, ast.Call):
            called = ast.unparse(node.func).rpartition(".")[2]
            if called in _LOUD and not (
                called == "require" and isinstance(child, ast.keyword) and child.arg not in _SAID
            ):
                return REFUSALS
            if called in {"range", "lru_cache"} and _big(child, 8):
                return ROUNDS
            if called == "lru_cache":
                return ROUNDS
        if isinstance(node, ast.keyword) and node.arg == "rounds":
            return ROUNDS
        if isinstance(node, ast.arguments) and name == "kw_defaults":
            keyword = node.kwonlyargs[node.kw_defaults.index(child)].arg
            return ROUNDS if keyword == "rounds" else ""
        return ""

    def _add(
        self, node: ast.AST, rule: str, kind: str, make: Callable[[], None], undo: Callable[[], None]
    ) -> None:
        if rule:
            self.left_out[rule] += 1
            return
        self.makes.append(make)
        if not self.told:
            return
        make()
        after = ast.unparse(node)
        undo()
        self.found.append(
            Place(
                number=len(self.found),
                line=self.lines[0],
                last=self.lines[1],
                at=node.lineno,
                function=".".join(self.where),
                kind=kind,
                row=self.rows[node.lineno - 1].decode().strip(),
                before=self._text(node),
                after=after,
            )
        )

    def _text(self, node: ast.AST) -> str:
        rows = self.rows[node.lineno - 1 : node.end_lineno]
        rows[-1] = rows[-1][: node.end_col_offset]
        rows[0] = rows[0][node.col_offset :]
        return " ".join(b"\n".join(rows).decode().split())

    def _changes(self, node: ast.AST) -> Iterator[tuple[str, Callable[[], None], Callable[[], None]]]:
        if isinstance(node, ast.BinOp | ast.AugAssign) and type(node.op) in _ARITHMETIC:
            kind, other = _ARITHMETIC[type(node.op)]
            if _joins_text(node):
                self.left_out[TEXT] += 1
            else:
                yield kind, *_swap(node, "op", other())
        elif isinstance(node, ast.UnaryOp):
            if isinstance(node.op, ast.USub):
                yield SIGN, *_swap(node, "op", ast.UAdd())
            elif isinstance(node.op, ast.Not | ast.Invert):
                inner = ast.copy_location(ast.UnaryOp(op=node.op, operand=node.operand), node)
                yield LOGIC, *_swap(node, "operand", inner)
        elif isinstance(node, ast.Compare):
            for number, op in enumerate(node.ops):
                if type(op) in _COMPARED:
                    ops = list(node.ops)
                    ops[number] = _COMPARED[type(op)]()
                    yield COMPARISON, *_swap(node, "ops", ops)
        elif isinstance(node, ast.BoolOp):
            yield LOGIC, *_swap(node, "op", ast.Or() if isinstance(node.op, ast.And) else ast.And())
        elif isinstance(node, ast.Call):
            if isinstance(node.func, ast.Name) and node.func.id in _EXTREMES:
                yield EXTREME, *_swap(node.func, "id", _EXTREMES[node.func.id])
            elif isinstance(node.func, ast.Attribute) and node.func.attr in _EXTREMES:
                yield EXTREME, *_swap(node.func, "attr", _EXTREMES[node.func.attr])
        elif isinstance(node, ast.Constant):
            yield from self._coefficient(node)

    def _coefficient(
        self, node: ast.Constant
    ) -> Iterator[tuple[str, Callable[[], None], Callable[[], None]]]:
        if type(node.value) is float:
            if 0 < node.value <= 1.0001e-5 and re.fullmatch(r"\d(\.\d)?e-\d+", repr(node.value)):
                self.left_out[TOLERANCES] += 1
                return
            yield FLOAT, *_swap(node, "value", node.value * (1 + self.change) if node.value else self.change)
        elif type(node.value) is int:
            for other in (node.value + 1, node.value - 1):
                yield INTEGER, *_swap(node, "value", other)


def _swap(node: ast.AST, name: str, other: object) -> tuple[Callable[[], None], Callable[[], None]]:
    now = getattr(node, name)
    return lambda: setattr(node, name, other), lambda: setattr(node, name, now)


def _big(node: ast.AST, least: int) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, int) and node.value >= least


def _joins_text(node: ast.BinOp | ast.AugAssign) -> bool:
    sides = [node.value] if isinstance(node, ast.AugAssign) else [node.left, node.right]
    for side in sides:
        if isinstance(side, ast.JoinedStr | ast.Tuple | ast.List | ast.Dict | ast.ListComp):
            return True
        if isinstance(side, ast.IfExp) and isinstance(side.body, ast.JoinedStr | ast.Constant):
            return isinstance(getattr(side.body, "value", ""), str) or isinstance(side.body, ast.JoinedStr)
        if isinstance(side, ast.Constant) and isinstance(side.value, str | None):
            return True
        if isinstance(node.op, ast.BitOr) and re.match(r"(str|int|float|[A-Z][a-z]\w*)$", ast.unparse(side)):
            return True
    return False


def places_of(source: str, *, change: float) -> tuple[list[Place], Counter[str]]:
    """Every mutant of a module's source, and how many are left out by which rule."""
    walk = _Walk(source, change)
    walk.visit(ast.parse(source))
    return walk.found, walk.left_out


def mutated(source: str, number: int, *, change: float) -> ast.Module:
    """The module's tree with its mutant of that number."""
    tree = ast.parse(source)
    walk = _Walk(source, change, told=False)
    walk.visit(tree)
    walk.makes[number]()
    return ast.fix_missing_locations(tree)
