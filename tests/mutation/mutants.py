"""What a module becomes by one small change at a time: an operator, a number, a condition, a call left out."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import unified_diff
from pathlib import Path

COMPARISONS = {
    ast.Lt: ("<", "<="),
    ast.LtE: ("<=", "<"),
    ast.Gt: (">", ">="),
    ast.GtE: (">=", ">"),
    ast.Eq: ("==", "!="),
    ast.NotEq: ("!=", "=="),
    ast.Is: ("is", "is not"),
    ast.IsNot: ("is not", "is"),
    ast.In: ("in", "not in"),
    ast.NotIn: ("not in", "in"),
}
SUMS = {
    ast.Add: ("+", "-"),
    ast.Sub: ("-", "+"),
    ast.Mult: ("*", "/"),
    ast.Div: ("/", "*"),
    ast.FloorDiv: ("//", "*"),
    ast.Mod: ("%", "*"),
    ast.Pow: ("**", "*"),
    ast.BitAnd: ("&", "|"),
    ast.BitOr: ("|", "&"),
    ast.BitXor: ("^", "&"),
    ast.MatMult: ("@", "*"),
}
# A name called or looked up that has a twin of the other meaning.
TWINS = {
    pair[i]: pair[1 - i]
    for pair in (
        ("min", "max"),
        ("any", "all"),
        ("floor", "ceil"),
        ("minimum", "maximum"),
        ("argmin", "argmax"),
        ("nanmin", "nanmax"),
        ("sin", "cos"),
        ("zeros", "ones"),
        ("logical_and", "logical_or"),
    )
    for i in (0, 1)
}


@dataclass(frozen=True)
class Mutant:
    """One change of one module: where it is, what the text becomes, and a key that survives shifted lines."""

    module: str
    """Dotted, `rodcall.figures.target`."""
    line: int
    lines: frozenset[int]
    """The lines that a test must run for it to notice: those of the statement that is changed."""
    within: str
    """The outermost function, with its classes (`Page.read`); empty where the module or a class body is changed."""
    nth: int
    """Which of the functions of that name it is, where a module has several (a property and its setter)."""
    text: str
    """All of the changed module."""
    key: str

    def diff(self, before: str) -> str:
        """The lines that differ, as a patch shows them."""
        lines = list(unified_diff(before.splitlines(), self.text.splitlines(), n=0, lineterm=""))[3:]
        return "\n".join(f"    {line}" for line in lines)


@dataclass(frozen=True)
class Change:
    """The characters from `start` to `end` of a source become `text`."""

    start: int
    end: int
    text: str


class Finder:
    """Finds all changes of one module's source."""

    def __init__(self, source: str) -> None:
        self.source = source
        self.tree = ast.parse(source)
        self.starts = [0]
        for line in source.splitlines(keepends=True):
            self.starts.append(self.starts[-1] + len(line))
        self.lines = source.splitlines(keepends=True)

    def at(self, line: int, column: int) -> int:
        """A place of the tree (UTF-8 bytes) as a place in the text."""
        text = self.lines[line - 1]
        return self.starts[line - 1] + len(text.encode()[:column].decode())

    def start(self, node: ast.expr | ast.stmt) -> int:
        return self.at(node.lineno, node.col_offset)

    def end(self, node: ast.expr | ast.stmt) -> int:
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        return self.at(node.end_lineno, node.end_col_offset)

    def between(self, left: ast.expr, right: ast.expr, before: str, after: str) -> Iterator[Change]:
        """The operator between two operands."""
        start, end = self.end(left), self.start(right)
        place = self.source.find(before, start, end)
        if place >= 0:
            yield Change(place, place + len(before), after)

    def whole(self, node: ast.expr | ast.stmt, text: str) -> Change:
        return Change(self.start(node), self.end(node), text)

    def of_expression(self, node: ast.expr) -> Iterator[Change]:
        """All changes of this expression itself, not of its parts."""
        match node:
            case ast.Compare():
                left = node.left
                for op, right in zip(node.ops, node.comparators, strict=True):
                    yield from self.between(left, right, *COMPARISONS[type(op)])
                    left = right
            case ast.BinOp() if type(node.op) in SUMS:
                yield from self.between(node.left, node.right, *SUMS[type(node.op)])
            case ast.BoolOp():
                word, other = ("and", "or") if isinstance(node.op, ast.And) else ("or", "and")
                for left, right in zip(node.values, node.values[1:], strict=False):
                    yield from self.between(left, right, word, other)
            case ast.UnaryOp(op=ast.Not() | ast.USub() | ast.Invert()):
                yield Change(self.start(node), self.start(node.operand), " ")
            case ast.IfExp():
                yield self.whole(node.test, f"not ({ast.unparse(node.test)})")
            case ast.Constant(value=bool()):
                yield self.whole(node, str(not node.value))
            case ast.Constant(value=int()):
                yield self.whole(node, str(node.value + 1))
            case ast.Constant(value=float()):
                yield self.whole(node, repr(node.value * 1.25 if node.value else 1.0))
            case ast.Name(id=name) if name in TWINS:
                yield self.whole(node, TWINS[name])
            case ast.Attribute(attr=name) if name in TWINS:
                yield Change(self.end(node) - len(name), self.end(node), TWINS[name])

    def of_statement(self, node: ast.stmt) -> Iterator[Change]:
        """All changes of this statement itself, not of the expressions in it."""
        match node:
            case ast.AugAssign() if type(node.op) in SUMS:
                before, after = SUMS[type(node.op)]
                start, end = self.end(node.target), self.start(node.value)
                place = self.source.find(before + "=", start, end)
                yield Change(place, place + len(before), after)
            case ast.If() | ast.While() if not isinstance(node.test, ast.Compare):
                yield self.whole(node.test, f"not ({ast.unparse(node.test)})")
            case ast.Expr(value=ast.Call()) | ast.Expr(value=ast.Yield()) | ast.Raise():
                yield self.whole(node, "pass")
            case ast.Break():
                yield self.whole(node, "continue")
            case ast.Continue():
                yield self.whole(node, "pass")
            case ast.Assign() if isinstance(node.targets[0], ast.Subscript | ast.Attribute):
                yield self.whole(node, "pass")
            case ast.Return(value=value) if value is not None and not isinstance(value, ast.Constant):
                yield self.whole(value, "None")

    def changes(self) -> Iterator[tuple[Change, ast.stmt, str, int]]:
        """Each change with its statement and the function that it lies in."""
        seen: Counter[str] = Counter()
        yield from self._body(self.tree.body, "", "", 0, seen)

    def _body(
        self, body: list[ast.stmt], classes: str, within: str, nth: int, seen: Counter[str]
    ) -> Iterator[tuple[Change, ast.stmt, str, int]]:
        for node in body:
            match node:
                case ast.FunctionDef(name=name):
                    inner, which = within, nth
                    if not within:
                        inner = classes + name
                        which = seen[inner]
                        seen[inner] += 1
                        # Defaults are worked out with the module, not with the function.
                        for default in [*node.args.defaults, *(d for d in node.args.kw_defaults if d)]:
                            yield from ((c, node, within, nth) for c in self._expressions(default))
                    yield from self._body(node.body, classes, inner, which, seen)
                case ast.ClassDef(name=name):
                    yield from self._body(node.body, f"{classes}{name}." if not within else classes, within, nth, seen)
                case ast.Import() | ast.ImportFrom():
                    pass
                case ast.If(test=ast.Name(id="TYPE_CHECKING")):
                    pass
                case ast.Assign(targets=[ast.Name(id="__all__")]):
                    pass
                case ast.Expr(value=ast.Constant()):
                    pass  # A docstring.
                case ast.Raise():
                    # What is raised is words; whether it is raised counts.
                    if within:
                        yield from ((c, node, within, nth) for c in self.of_statement(node))
                case _:
                    if within:
                        yield from ((c, node, within, nth) for c in self.of_statement(node))
                    yield from ((c, node, within, nth) for c in self._parts(node))
                    for name in ("body", "orelse", "finalbody"):
                        inner_body = getattr(node, name, [])
                        if isinstance(inner_body, list):
                            yield from self._body(inner_body, classes, within, nth, seen)
                    for case in getattr(node, "cases", []):
                        if case.guard is not None:
                            yield from ((c, node, within, nth) for c in self._expressions(case.guard))
                        yield from self._body(case.body, classes, within, nth, seen)
                    for handler in getattr(node, "handlers", []):
                        yield from self._body(handler.body, classes, within, nth, seen)

    def _parts(self, node: ast.stmt) -> Iterator[Change]:
        """The changes of the expressions of a statement's own head."""
        for name, field in ast.iter_fields(node):
            if name in ("annotation", "decorator_list", "type_comment", "body", "orelse", "finalbody", "cases"):
                continue
            for part in field if isinstance(field, list) else [field]:
                if isinstance(part, ast.withitem):
                    part = part.context_expr
                if isinstance(part, ast.expr):
                    yield from self._expressions(part)

    def _expressions(self, node: ast.expr) -> Iterator[Change]:
        yield from self.of_expression(node)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "cast":
            node = node.args[1]
        for part in ast.iter_child_nodes(node):
            if isinstance(part, ast.JoinedStr):
                continue
            if isinstance(part, ast.expr):
                yield from self._expressions(part)
            elif isinstance(part, ast.keyword) and part.arg != "strict":  # zip's own check: no two lengths differ
                yield from self._expressions(part.value)
            elif isinstance(part, ast.comprehension):
                yield from self._expressions(part.iter)
                for test in part.ifs:
                    yield from self._expressions(test)
                    if not isinstance(test, ast.Compare):
                        yield self.whole(test, f"not ({ast.unparse(test)})")


def mutants(module: str, path: Path) -> list[Mutant]:
    """All mutants of one module that are Python at all, in the order of its lines."""
    source = path.read_text()
    finder = Finder(source)
    found: list[Mutant] = []
    keys: Counter[str] = Counter()
    texts: set[str] = {source}
    for change, node, within, nth in finder.changes():
        text = source[: change.start] + change.text + source[change.end :]
        if text in texts:
            continue
        try:
            compile(text, str(path), "exec", dont_inherit=True)
        except SyntaxError:
            continue
        texts.add(text)
        line = source.count("\n", 0, change.start)
        key = f"{within or 'module'}: {_shown(source, change.start, change.end)} -> " + _shown(
            text, change.start, change.start + len(change.text)
        )
        keys[key] += 1
        if keys[key] > 1:
            key += f" #{keys[key]}"
        last = node.body[0].lineno - 1 if getattr(node, "body", None) else node.end_lineno
        lines = frozenset(range(node.lineno, max(last or 0, line + 1, node.lineno) + 1))
        found.append(Mutant(module, line + 1, lines, within, nth, text, key))
    return sorted(found, key=lambda mutant: mutant.line)


def _shown(text: str, start: int, end: int) -> str:
    """The lines that hold these characters, as one line."""
    first = text.rfind("\n", 0, start) + 1
    last = text.find("\n", end)
    return " ".join(text[first : last if last >= 0 else None].split())
