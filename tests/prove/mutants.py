"""Small faults put into one module at a time: what a good test must notice.

Our own, and not one of the ready-made tools, which we tried: they leave alone what stands at the top of a module, and
there stand our limits, constants and tables; half of what they change is the wording of sentences; they number their
changes, so an explained survivor loses its explanation when a line is added; and they bring a dozen packages along.

What is changed: arithmetic, comparisons (the limit itself, and the whole turned round), `and` and `or` (turned, and
each part left out), `not`, signs, numbers (both ways), True and False, conditions (turned round, and never true),
answers (None), statements with an effect (left out), parts of tuples, lists, sets and tables (left out), members of
an enumeration (another one that the module names), and pairs such as min and max. What is not: words, the
names in __all__, type annotations, decorators.
"""

from __future__ import annotations

import ast
import copy
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

_ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.MatMult: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
}
_COMPARISONS: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
_PAIRS = {"min": "max", "any": "all", "minimum": "maximum", "floor": "ceil", "zeros_like": "ones_like"}
_SWAPPED = _PAIRS | {second: first for first, second in _PAIRS.items()}
_TYPES = frozenset({"Callable", "Literal", "Mapping", "Sequence", "dict", "list", "set", "tuple"})
_NOT_CODE = frozenset({"annotation", "returns", "decorator_list"})


@dataclass(frozen=True, slots=True)
class Mutant:
    """One module with one fault; the first four tell it from every other, whatever line it moves to."""

    where: str
    line: str
    change: str
    repeat: int
    source: str

    @property
    def key(self) -> tuple[str, str, str, int]:
        """What an explanation is found by."""
        return (self.where, self.line, self.change, self.repeat)


@dataclass(frozen=True, slots=True)
class _Fault:
    where: str
    node: ast.expr | ast.stmt
    instead: str


def mutants(source: str) -> list[Mutant]:
    """Every fault that can be put into a source text."""
    text = _Text(source)
    seen: Counter[tuple[str, str, str]] = Counter()
    found: list[Mutant] = []
    tree = ast.parse(source)
    for fault in (*_faults(tree, "module"), *_other_members(tree)):
        line = text.lines[fault.node.lineno - 1].strip()
        was = " ".join(text.of(fault.node).split())
        key = (fault.where, line, f"{was} -> {fault.instead}")
        seen[key] += 1
        found.append(Mutant(*key, seen[key], text.with_instead(fault.node, fault.instead)))
    return found


class _Text:
    """A source text whose parts can be looked up and replaced by node; the parser counts bytes."""

    def __init__(self, source: str) -> None:
        self.lines = source.splitlines()
        self._bytes = source.encode()
        self._starts = [0]
        for line in source.encode().splitlines(keepends=True):
            self._starts.append(self._starts[-1] + len(line))

    def _span(self, node: ast.expr | ast.stmt) -> tuple[int, int]:
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        first = self._starts[node.lineno - 1] + node.col_offset
        return first, self._starts[node.end_lineno - 1] + node.end_col_offset

    def of(self, node: ast.expr | ast.stmt) -> str:
        first, last = self._span(node)
        return self._bytes[first:last].decode()

    def with_instead(self, node: ast.expr | ast.stmt, instead: str) -> str:
        first, last = self._span(node)
        new = instead if isinstance(node, ast.stmt) else f"({instead})"
        return (self._bytes[:first] + new.encode() + self._bytes[last:]).decode()


def _faults(node: ast.AST, where: str) -> Iterator[_Fault]:
    if isinstance(node, ast.expr | ast.stmt):
        yield from (_Fault(where, node, instead) for instead in _instead(node))
    for test in _conditions(node):
        yield from (_Fault(where, test, instead) for instead in _turned(test))
    for child in _code_inside(node):
        yield from _faults(child, _place(node, where))


def _place(node: ast.AST, where: str) -> str:
    if not isinstance(node, ast.FunctionDef | ast.ClassDef):
        return where
    return node.name if where == "module" else f"{where}.{node.name}"


def _code_inside(node: ast.AST) -> Iterator[ast.AST]:
    for name, value in ast.iter_fields(node):
        if name in _NOT_CODE or (isinstance(node, ast.ClassDef) and name == "bases"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST) and not _is_no_code(child):
                yield child


def _is_no_code(node: ast.AST) -> bool:
    """Words with figures in them, imports, names handed on, and the name of a type such as Callable[[int], int]."""
    if isinstance(node, ast.Assign) and any(ast.unparse(target) == "__all__" for target in node.targets):
        return True
    is_type = isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name) and node.value.id in _TYPES
    return is_type or isinstance(node, ast.JoinedStr | ast.Import | ast.ImportFrom)


def _conditions(node: ast.AST) -> list[ast.expr]:
    if isinstance(node, ast.If | ast.While | ast.IfExp):
        return [node.test]
    return node.ifs if isinstance(node, ast.comprehension) else []


def _turned(test: ast.expr) -> Iterator[str]:
    """The condition turned round, unless its own faults do that already, and the condition that is never true."""
    if not isinstance(test, ast.Compare | ast.UnaryOp):
        yield f"not ({ast.unparse(test)})"
    yield "False"


def _other_members(tree: ast.Module) -> Iterator[_Fault]:
    """Each member of an enumeration that is named, turned into the next one of it that the module names."""
    for where, node in _named_members(tree, "module"):
        mine = ast.unparse(node.value)
        known = sorted({other.attr for _, other in _named_members(tree, "") if ast.unparse(other.value) == mine})
        if len(known) > 1:
            yield _Fault(where, node, f"{mine}.{known[(known.index(node.attr) + 1) % len(known)]}")


def _named_members(node: ast.AST, where: str) -> Iterator[tuple[str, ast.Attribute]]:
    if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.attr.isupper():
        yield where, node
    for child in _code_inside(node):
        yield from _named_members(child, _place(node, where))


def _instead(node: ast.expr | ast.stmt) -> Iterator[str]:
    """The texts that may stand in place of one node."""
    match node:
        case ast.BinOp() if not _joins_words(node):
            yield _text(node, op=_ARITHMETIC[type(node.op)]())
        case ast.Compare():
            yield from _comparisons(node)
        case ast.BoolOp():
            yield from _boolean(node)
        case ast.UnaryOp():
            yield ast.unparse(node.operand)
        case ast.Constant():
            yield from _constants(node.value)
        case ast.Tuple() | ast.List() | ast.Set() | ast.Dict():
            yield from _containers(node)
        case ast.Call():
            yield from _calls(node)
        case ast.stmt():
            yield from _statements(node)
        case _:
            return


def _comparisons(node: ast.Compare) -> Iterator[str]:
    for place, operator in enumerate(node.ops):
        for other in _COMPARISONS[type(operator)]:
            yield _text(node, ops=[*node.ops[:place], other(), *node.ops[place + 1 :]])


def _boolean(node: ast.BoolOp) -> Iterator[str]:
    yield _text(node, op=ast.Or() if isinstance(node.op, ast.And) else ast.And())
    for place in range(len(node.values)):
        rest = _without(node.values, place)
        yield ast.unparse(rest[0]) if len(rest) == 1 else _text(node, values=rest)


def _constants(value: object) -> Iterator[str]:
    if isinstance(value, bool):
        yield str(not value)
    elif isinstance(value, int):
        yield from (str(value + 1), str(value - 1))
    elif isinstance(value, float):
        yield from ("1.0", "-1.0") if value == 0 else (f"{value * 1.01:.12g}", f"{value * 0.99:.12g}")


def _containers(node: ast.Tuple | ast.List | ast.Set | ast.Dict) -> Iterator[str]:
    if isinstance(node, ast.Dict):
        for place in range(len(node.keys)):
            yield _text(node, keys=_without(node.keys, place), values=_without(node.values, place))
        return
    is_target = isinstance(getattr(node, "ctx", None), ast.Store)
    if is_target or any(isinstance(part, ast.Slice) for part in node.elts):
        return
    without_one = [_without(node.elts, place) for place in range(len(node.elts))]
    texts = ["set()" if not rest and isinstance(node, ast.Set) else _text(node, elts=rest) for rest in without_one]
    yield from dict.fromkeys(texts)  # of two equal parts one or the other left out is one fault


def _calls(node: ast.Call) -> Iterator[str]:
    name = node.func
    if isinstance(name, ast.Name) and name.id in _SWAPPED:
        yield _text(node, func=ast.Name(_SWAPPED[name.id], ast.Load()))
    elif isinstance(name, ast.Attribute) and name.attr in _SWAPPED:
        yield _text(node, func=ast.Attribute(name.value, _SWAPPED[name.attr], ast.Load()))
    elif isinstance(name, ast.Name) and name.id == "abs":
        yield ast.unparse(node.args[0])


def _statements(node: ast.stmt) -> Iterator[str]:
    match node:
        case ast.Return() if node.value is not None and not _is_none(node.value):
            yield "return None"
        case ast.Expr() if isinstance(node.value, ast.Call):
            yield "pass"
        case ast.AugAssign():
            yield "pass"
            yield _text(node, op=_ARITHMETIC[type(node.op)]())
        case ast.Assign() if any(isinstance(target, ast.Subscript | ast.Attribute) for target in node.targets):
            yield "pass"
        case ast.Raise():
            yield "pass"
        case ast.Break():
            yield "continue"
        case ast.Continue():
            yield "break"
        case _:
            return


def _joins_words(node: ast.BinOp) -> bool:
    """Whether text is put together, or types are named: neither is arithmetic."""
    sides = (node.left, node.right)
    words = any(isinstance(side, ast.JoinedStr) or _is_word(side) for side in sides)
    return words or (isinstance(node.op, ast.BitOr) and any(_is_none(side) or _is_type(side) for side in sides))


def _is_word(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def _is_type(node: ast.expr) -> bool:
    return isinstance(node, ast.Name) and (node.id in {"int", "float", "str"} or node.id[0].isupper())


def _is_none(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def _without(items: list, place: int) -> list:  # type: ignore[type-arg]  # of any kind of node
    return [*items[:place], *items[place + 1 :]]


def _text(node: ast.AST, **changed: object) -> str:
    other = copy.copy(node)
    for name, value in changed.items():
        setattr(other, name, value)
    return ast.unparse(ast.fix_missing_locations(other))
