"""Small faults to put into a module, one at a time: what a slip of the pen could make of its formulas."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import asdict, dataclass

Fault = tuple[str, ast.expr]

OPERATORS: dict[type[ast.operator], ast.operator] = {
    ast.Add: ast.Sub(),
    ast.Sub: ast.Add(),
    ast.Mult: ast.Div(),
    ast.Div: ast.Mult(),
    ast.Pow: ast.Mult(),
    ast.Mod: ast.Mult(),
    ast.FloorDiv: ast.Div(),
}
COMPARISONS: dict[type[ast.cmpop], tuple[ast.cmpop, ...]] = {
    ast.Lt: (ast.LtE(), ast.GtE()),
    ast.LtE: (ast.Lt(), ast.Gt()),
    ast.Gt: (ast.GtE(), ast.LtE()),
    ast.GtE: (ast.Gt(), ast.Lt()),
    ast.Eq: (ast.NotEq(),),
    ast.NotEq: (ast.Eq(),),
    ast.Is: (ast.IsNot(),),
    ast.IsNot: (ast.Is(),),
    ast.In: (ast.NotIn(),),
    ast.NotIn: (ast.In(),),
}
# Functions taken for a neighbour; a comparison of arrays is one too, and slips by its end or its sense.
NEIGHBOURS: dict[str, tuple[str, ...]] = {
    "less": ("less_equal", "greater_equal"),
    "less_equal": ("less", "greater"),
    "greater": ("greater_equal", "less_equal"),
    "greater_equal": ("greater", "less"),
    "equal": ("not_equal",),
    "not_equal": ("equal",),
    "logical_and": ("logical_or",),
    "logical_or": ("logical_and",),
    "minimum": ("maximum",),
    "maximum": ("minimum",),
    "min": ("max",),
    "max": ("min",),
    "nanmin": ("nanmax",),
    "nanmax": ("nanmin",),
    "argmin": ("argmax",),
    "argmax": ("argmin",),
    "any": ("all",),
    "all": ("any",),
    "sum": ("mean",),
    "mean": ("sum",),
    "floor": ("ceil",),
    "ceil": ("floor",),
    "sin": ("cos",),
    "cos": ("sin",),
    "tan": ("sin",),
    "arcsin": ("arccos",),
    "arccos": ("arcsin",),
    "exp": ("expm1",),
    "expm1": ("exp",),
    "log": ("log1p",),
    "log1p": ("log",),
    "positive": ("not_negative",),
    "not_negative": ("positive",),
}
# Functions left out, so that their argument of this number stands alone.
LEFT_OUT: dict[str, int] = {
    "abs": 0,
    "sqrt": 0,
    "square": 0,
    "clip": 0,
    "floor": 0,
    "ceil": 0,
    "isnan": 0,
    "logical_not": 0,
    "positive": 0,
    "not_negative": 0,
    "only_where": 1,
}
# Functions whose second and third argument are exchanged.
EXCHANGED = {"where", "chosen"}


@dataclass(frozen=True)
class Mutant:
    """One fault: the text of an expression, where it stands, and what stands there instead."""

    module: str
    line: int
    start: int
    end: int
    scope: str
    kind: str
    before: str
    after: str

    def applied_to(self, source: str) -> str:
        """The module's text with the fault in it."""
        text = source.encode()
        return (text[: self.start] + f"({self.after})".encode() + text[self.end :]).decode()

    def as_dict(self) -> dict[str, object]:
        """Every field, for a report."""
        return asdict(self)


def mutants(module: str, source: str) -> list[Mutant]:
    """All faults of a module, in the order of its text."""
    starts = _line_starts(source)
    made: list[Mutant] = []
    for scope, node in _expressions(ast.parse(source)):
        first = starts[node.lineno - 1] + node.col_offset
        last = starts[(node.end_lineno or node.lineno) - 1] + (node.end_col_offset or 0)
        before = source.encode()[first:last].decode()
        made += [
            Mutant(module, node.lineno, first, last, scope, kind, before, ast.unparse(fault))
            for kind, fault in _faults(node)
        ]
    known = [mutant for mutant in made if _is_known(mutant, source)]
    return sorted(known, key=lambda mutant: (mutant.start, mutant.end, mutant.kind, mutant.after))


def _is_known(mutant: Mutant, source: str) -> bool:
    """Tell whether the module has imported the helper a fault calls: a name not known shows nothing."""
    called = mutant.after.split("(", 1)[0]
    return called not in {"positive", "not_negative"} or called in source


def _line_starts(source: str) -> list[int]:
    """Offset in bytes at which each line starts."""
    starts = [0]
    for line in source.encode().splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    return starts


def _expressions(tree: ast.AST, scope: str = "") -> Iterator[tuple[str, ast.expr]]:
    """Every expression that is worked out at run time, with the function or name it belongs to.

    Of a term `0 * x`, which lends the shape and the nan of x, only the nought is one.
    """
    for child in _parts(tree):
        inner = scope
        if isinstance(child, ast.FunctionDef | ast.ClassDef):
            inner = f"{scope}.{child.name}".lstrip(".")
        elif isinstance(child, ast.Assign | ast.AnnAssign) and not _in_function(scope, tree):
            inner = f"{scope}.{_target(child)}".lstrip(".")
        if isinstance(child, ast.expr) and not (isinstance(child, ast.BinOp) and _lends(child)):
            yield inner, child
        yield from _expressions(child, inner)


def _lends(node: ast.expr) -> bool:
    """Tell whether an operation is `0 * x`, or adds one."""
    if not isinstance(node, ast.BinOp):
        return False
    nought = isinstance(node.left, ast.Constant) and type(node.left.value) is int and node.left.value == 0
    return nought if isinstance(node.op, ast.Mult) else isinstance(node.op, ast.Add) and _lends(node.right)


def _in_function(scope: str, tree: ast.AST) -> bool:
    """Tell whether statements right under `tree` run when a function is called."""
    return bool(scope) and not isinstance(tree, ast.ClassDef)


def _target(statement: ast.Assign | ast.AnnAssign) -> str:
    """Name that a statement binds."""
    target = statement.targets[0] if isinstance(statement, ast.Assign) else statement.target
    return ast.unparse(target)


def _parts(node: ast.AST) -> Iterator[ast.AST]:
    """Children of a node that are worked out at run time: no annotations, decorators, subscripted types."""
    for name, value in ast.iter_fields(node):
        if name in {"annotation", "returns", "decorator_list", "bases"}:
            continue
        if name == "value" and isinstance(node, ast.AnnAssign) and _is_type(node):
            continue
        parts = value if isinstance(value, list) else [value]
        yield from (part for part in parts if isinstance(part, ast.AST))


def _is_type(node: ast.AnnAssign) -> bool:
    """Tell whether a statement names a type."""
    return ast.unparse(node.annotation) == "TypeAlias"


def _faults(node: ast.expr) -> Iterator[Fault]:
    """What an expression may be mistaken for."""
    if isinstance(node, ast.BinOp) and type(node.op) in OPERATORS:
        yield "operator", ast.BinOp(node.left, OPERATORS[type(node.op)], node.right)
    elif isinstance(node, ast.Compare):
        yield from _comparisons(node)
    elif isinstance(node, ast.BoolOp):
        other = ast.Or() if isinstance(node.op, ast.And) else ast.And()
        yield "and for or", ast.BoolOp(other, node.values)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub | ast.Not):
        yield "sign or not", node.operand
    elif isinstance(node, ast.IfExp):
        yield "branch", node.body
        yield "branch", node.orelse
    elif isinstance(node, ast.Constant):
        yield from _numbers(node.value)
    elif isinstance(node, ast.Call):
        yield from _calls(node)


def _comparisons(node: ast.Compare) -> Iterator[Fault]:
    """The end of a comparison taken in or left out, and its sense turned round."""
    for other in COMPARISONS[type(node.ops[0])]:
        yield "comparison", ast.Compare(node.left, [other, *node.ops[1:]], node.comparators)


def _numbers(value: object) -> Iterator[Fault]:
    """Truth turned over, whole numbers one up, other numbers a hundredth up."""
    if isinstance(value, bool):
        yield "truth", ast.Constant(not value)
    elif isinstance(value, int):
        yield "number", ast.Constant(value + 1)
    elif isinstance(value, float):
        yield "number", ast.Constant(float(f"{value * 1.01:.12g}") if value else 1.0)


def _calls(node: ast.Call) -> Iterator[Fault]:
    """A function taken for its neighbour, left out, or given two arguments the wrong way round."""
    name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    for other in NEIGHBOURS.get(name, ()):
        yield "function", ast.Call(_renamed(node.func, other), node.args, node.keywords)
    if name in LEFT_OUT and len(node.args) > LEFT_OUT[name]:
        yield "function left out", node.args[LEFT_OUT[name]]
    if name in EXCHANGED and len(node.args) == 3:
        condition, value, other_value = node.args
        yield "arguments exchanged", ast.Call(node.func, [condition, other_value, value], node.keywords)


def _renamed(function: ast.expr, name: str) -> ast.expr:
    """The function of another name in the same place."""
    if isinstance(function, ast.Attribute):
        return ast.Attribute(function.value, name, ast.Load())
    return ast.Name(name, ast.Load())
