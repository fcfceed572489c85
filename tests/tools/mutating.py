"""Small faults put into a module on purpose, one at a time: what a test ought to notice.

Text goes in and edits of the text come out; nothing is run here. Left alone are docstrings, type hints, decorators, imports,
`raise` and `assert`, what stands inside f-strings, `__all__`, what is only for type checkers or for a script,
`zip(..., strict=True)`, which guards a statement that is true anyway, and `field(repr=False)`, which nobody but we sees.
"""

from __future__ import annotations

import ast
import hashlib
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

COMPARED = {
    ast.Lt: ("<", ("<=", ">=")),
    ast.LtE: ("<=", ("<", ">")),
    ast.Gt: (">", (">=", "<=")),
    ast.GtE: (">=", (">", "<")),
    ast.Eq: ("==", ("!=",)),
    ast.NotEq: ("!=", ("==",)),
    ast.Is: (r"is\b", ("is not",)),
    ast.IsNot: (r"is\s+not\b", ("is",)),
    ast.In: (r"in\b", ("not in",)),
    ast.NotIn: (r"not\s+in\b", ("in",)),
}
"""The sign of each comparison, and what it becomes: its neighbour at the boundary, and its opposite."""
SWAPPED = {
    ast.Add: ("+", "-"),
    ast.Sub: ("-", "+"),
    ast.Mult: ("*", "/"),
    ast.Div: ("/", "*"),
    ast.FloorDiv: ("//", "*"),
    ast.Mod: ("%", "*"),
    ast.Pow: ("**", "*"),
    ast.BitOr: ("|", "&"),
    ast.BitAnd: ("&", "|"),
    ast.LShift: ("<<", ">>"),
    ast.RShift: (">>", "<<"),
}
PAIRS = (("min", "max"), ("minimum", "maximum"), ("argmin", "argmax"), ("floor", "ceil"), ("any", "all"))
OPPOSITE = {**dict(PAIRS), **{other: one for one, other in PAIRS}}
CACHED = {"cache", "lru_cache", "cached_property"}
"""A function under one of these runs for the first test that asks; which test that is says nothing."""
LEFT_ALONE = (ast.Import, ast.ImportFrom, ast.Raise, ast.Assert, ast.Global, ast.Nonlocal, ast.Pass, ast.Delete)


@dataclass(frozen=True, slots=True)
class Mutant:
    """One fault: bytes `start` to `end` of a module replaced by `new`.

    `lines` is the statement's, first to last; `is_broad` says that it runs while the module loads, or once for all
    tests, so that which tests run the line says too little. `before` and `after` are the line without its indent.
    """

    id: str
    room: str
    line: int
    start: int
    end: int
    new: str
    lines: tuple[int, int]
    is_broad: bool
    before: str
    after: str

    def put_into(self, source: str) -> str:
        """The module with this fault."""
        raw = source.encode()
        return (raw[: self.start] + self.new.encode() + raw[self.end :]).decode()


@dataclass(frozen=True, slots=True)
class Edit:
    """A replacement, and the statement and function that it is in."""

    start: int
    end: int
    new: str
    lines: tuple[int, int]
    where: str
    is_broad: bool


@dataclass(frozen=True, slots=True)
class Place:
    """What the walk knows of where it is."""

    where: str = ""
    is_broad: bool = True
    lines: tuple[int, int] = (0, 0)


def mutants(source: str, room: str) -> list[Mutant]:
    """Every fault that this module can be given, in order of place; the same ids for the same text.

    Raises:
        SyntaxError: the module cannot be read.
    """
    tree = ast.parse(source)
    raw, same, out = source.encode(), ast.dump(tree), []
    seen: Counter[str] = Counter()
    edits = {(edit.start, edit.end, edit.new): edit for edit in Walk(raw).body(tree.body, Place())}
    for edit in sorted(edits.values(), key=lambda one: (one.start, one.end, one.new)):
        changed = (raw[: edit.start] + edit.new.encode() + raw[edit.end :]).decode()
        if not reads_otherwise(changed, same):
            continue
        line = raw.count(b"\n", 0, edit.start) + 1
        before, after = (text.splitlines()[line - 1].strip() for text in (source, changed))
        key = "\n".join((edit.where, before, raw[edit.start : edit.end].decode(), edit.new, after))
        seen[key] += 1
        digest = hashlib.sha256(f"{key}\n{seen[key]}".encode()).hexdigest()[:7]
        name = f"{room.rpartition('.')[2]}-{digest}"
        out.append(
            Mutant(name, room, line, edit.start, edit.end, edit.new, edit.lines, edit.is_broad, before, after),
        )
    return out


def reads_otherwise(changed: str, same: str) -> bool:
    """Whether a changed module is still one, and another one."""
    try:
        return ast.dump(ast.parse(changed)) != same
    except SyntaxError:
        return False


class Walk:
    """A walk over the statements and expressions of one module, which yields edits."""

    def __init__(self, raw: bytes) -> None:
        self.raw = raw
        self.starts = [0]
        for line in raw.splitlines(keepends=True):
            self.starts.append(self.starts[-1] + len(line))

    def span(self, node: ast.expr | ast.stmt) -> tuple[int, int]:
        """Where a node stands in the bytes of the module."""
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        return self.starts[node.lineno - 1] + node.col_offset, self.starts[node.end_lineno - 1] + node.end_col_offset

    def edit(self, node: ast.expr | ast.stmt, new: str, at: Place) -> Edit:
        """A whole node replaced."""
        return Edit(*self.span(node), new, at.lines, at.where, at.is_broad)

    def between(self, left: ast.expr, right: ast.expr, sign: str, new: str, at: Place) -> Iterator[Edit]:
        """The sign between two nodes replaced; brackets and comments beside it stay."""
        start, end = self.span(left)[1], self.span(right)[0]
        gap = re.sub(rb"#[^\n]*", lambda found: b" " * len(found[0]), self.raw[start:end])
        found = re.search(sign.encode(), gap)
        if found:
            yield Edit(start + found.start(), start + found.end(), new, at.lines, at.where, at.is_broad)

    # -- statements ----------------------------------------------------------------------------------------------

    def body(self, statements: list[ast.stmt], at: Place, last: ast.stmt | None = None) -> Iterator[Edit]:
        """Statements in a row; `last` is the one that ends the function."""
        for statement in statements:
            if not isinstance(statement, LEFT_ALONE) and not is_aside(statement):
                yield from self.statement(statement, at, last)

    def statement(self, node: ast.stmt, at: Place, last: ast.stmt | None) -> Iterator[Edit]:
        """One statement and what is inside."""
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield from self.function(node, at)
            return
        if isinstance(node, ast.ClassDef):
            yield from self.body(node.body, Place(f"{at.where}.{node.name}"))
            return
        heads = head(node)
        bottom = max((one.end_lineno or one.lineno for one in heads), default=node.lineno)
        here = Place(at.where, at.is_broad, (node.lineno, bottom))
        for one in heads:
            yield from self.expression(one, here)
        if isinstance(node, ast.If):
            yield from (self.edit(node.test, word, here) for word in ("True", "False"))
        elif isinstance(node, ast.While):
            yield self.edit(node.test, "False", here)
        elif isinstance(node, ast.AugAssign):
            yield from self.swapped(node.op, node.target, node.value, here)
        if is_to_drop(node, last):
            yield self.edit(node, "pass", here)
        for inner in bodies(node):
            yield from self.body(inner, at, last)

    def function(self, node: ast.FunctionDef | ast.AsyncFunctionDef, at: Place) -> Iterator[Edit]:
        """Defaults, and the body."""
        first = Place(at.where, at.is_broad, (node.lineno, node.body[0].lineno - 1))
        for default in (*node.args.defaults, *node.args.kw_defaults):
            if default is not None:
                yield from self.expression(default, first)
        words = {name for one in node.decorator_list for name in re.findall(r"\w+", ast.unparse(one))}
        is_broad = bool(words & CACHED) or (at.is_broad and at.where.endswith("()"))
        yield from self.body(node.body, Place(f"{at.where}.{node.name}()", is_broad), node.body[-1])

    # -- expressions ---------------------------------------------------------------------------------------------

    def expression(self, node: ast.expr, at: Place) -> Iterator[Edit]:
        """One expression and what is inside."""
        if isinstance(node, ast.JoinedStr):
            return
        yield from self.itself(node, at)
        if isinstance(node, ast.Slice):
            yield from (self.edit(end, "", at) for end in (node.lower, node.upper) if end is not None)
        for inner in parts(node):
            yield from self.expression(inner, at)

    def itself(self, node: ast.expr, at: Place) -> Iterator[Edit]:
        """What the outermost sign of an expression can become."""
        match node:
            case ast.Compare():
                for left, op, right in zip((node.left, *node.comparators), node.ops, node.comparators, strict=False):
                    sign, others = COMPARED[type(op)]
                    for other in others:
                        yield from self.between(left, right, sign, other, at)
            case ast.BinOp():
                yield from self.swapped(node.op, node.left, node.right, at)
            case ast.BoolOp():
                joined = ast.Or() if isinstance(node.op, ast.And) else ast.And()
                yield self.edit(node, f"({ast.unparse(ast.BoolOp(joined, node.values))})", at)
            case ast.UnaryOp(op=ast.Not() | ast.USub() | ast.Invert()):
                yield self.edit(node, f"({ast.unparse(node.operand)})", at)
            case ast.Constant():
                yield from (self.edit(node, other, at) for other in other_values(node.value))
            case ast.Call():
                yield from self.opposite(node.func, at)
            case _:
                for test in conditions(node):
                    yield from (self.edit(test, word, at) for word in ("True", "False"))

    def opposite(self, func: ast.expr, at: Place) -> Iterator[Edit]:
        """The smallest for the largest, any for all, and so on."""
        name = ast.unparse(func).rpartition(".")[2]
        if name in OPPOSITE:
            end = self.span(func)[1]
            yield Edit(end - len(name), end, OPPOSITE[name], at.lines, at.where, at.is_broad)

    def swapped(self, op: ast.operator, left: ast.expr, right: ast.expr, at: Place) -> Iterator[Edit]:
        """Another sign of arithmetic."""
        if type(op) in SWAPPED:
            sign, other = SWAPPED[type(op)]
            yield from self.between(left, right, re.escape(sign), other, at)


def is_aside(node: ast.stmt) -> bool:
    """Whether a statement is a string by itself, `__all__`, or for a type checker or a script alone."""
    if isinstance(node, ast.Expr):
        return isinstance(node.value, ast.Constant)
    if isinstance(node, ast.Assign):
        return any(isinstance(target, ast.Name) and target.id == "__all__" for target in node.targets)
    return isinstance(node, ast.If) and ast.unparse(node.test).startswith(("TYPE_CHECKING", "__name__"))


def is_to_drop(node: ast.stmt, last: ast.stmt | None) -> bool:
    """Whether a statement is left out to see who misses it: a call, an addition, the end of a loop, an early return."""
    if isinstance(node, ast.Expr):
        return isinstance(node.value, ast.Call)
    return isinstance(node, ast.AugAssign | ast.Continue | ast.Break) or (
        isinstance(node, ast.Return) and node is not last
    )


HEADS: dict[type[ast.stmt], tuple[str, ...]] = {
    **dict.fromkeys((ast.If, ast.While), ("test",)),
    **dict.fromkeys((ast.For, ast.AsyncFor), ("iter",)),
    **dict.fromkeys((ast.AnnAssign, ast.Return, ast.Expr), ("value",)),
    ast.Assign: ("targets", "value"),
    ast.AugAssign: ("target", "value"),
    ast.Match: ("subject",),
}
"""The expressions of a statement itself, without the statements inside, and without hints."""


def head(node: ast.stmt) -> list[ast.expr]:
    """The expressions of a statement itself, those of a `with` and the guards of a `match` among them."""
    out = []
    for name in HEADS.get(type(node), ()):
        held = getattr(node, name)
        out.extend(held if isinstance(held, list) else [held])
    out.extend(item.context_expr for item in getattr(node, "items", ()))
    out.extend(case.guard for case in getattr(node, "cases", ()))
    return [one for one in out if one is not None]


def conditions(node: ast.expr) -> list[ast.expr]:
    """The conditions of an expression: of an inline `if`, or of the loops inside a list."""
    if isinstance(node, ast.IfExp):
        return [node.test]
    return [test for loop in getattr(node, "generators", ()) for test in loop.ifs]


def other_values(value: object) -> list[str]:
    """What a constant becomes: a truth its opposite, a number one more and ten times as much; words stay."""
    if isinstance(value, bool):
        return [str(not value)]
    return (
        [repr(other) for other in (value + 1, value * 10) if other != value] if isinstance(value, int | float) else []
    )


def bodies(node: ast.stmt) -> Iterator[list[ast.stmt]]:
    """The statements inside a statement."""
    for name in ("body", "orelse", "finalbody"):
        yield getattr(node, name, [])
    for inner in (*getattr(node, "handlers", ()), *getattr(node, "cases", ())):
        yield inner.body


def parts(node: ast.expr) -> Iterator[ast.expr]:
    """The expressions inside an expression, without types and without what only guards."""
    if isinstance(node, ast.Call):
        name = ast.unparse(node.func).rpartition(".")[2]
        yield node.func
        kept = {"cast": node.args[1:], "isinstance": node.args[:1], "issubclass": node.args[:1]}
        yield from kept.get(name, node.args)
        yield from (word.value for word in node.keywords if word.arg not in {"strict", "repr"})
        return
    if isinstance(node, ast.Lambda):
        yield node.body
        return
    for inner in ast.iter_child_nodes(node):
        if isinstance(inner, ast.expr):
            yield inner
        elif isinstance(inner, ast.comprehension):
            yield inner.iter
            yield from inner.ifs
