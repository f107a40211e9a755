"""Which text of the program is an error's hint: where it goes is followed by reading the program, nothing is run.

A value goes to errors only if every use of it does: in a ``raise``, in a call of an error, as an argument named
``fault`` or ``faults`` (what is wrong with what was noted), through names, lists, loops, joins and conditions, and
by the ``return`` of a function to every use of that function. What cannot be followed (a callback, a field of an
object) is no error.
"""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

SAYS_THE_SAME = {
    *("say", "words", "joined", "capital", "localize", "one_line"),
    *("str", "list", "tuple", "set", "sorted", "next", "filter"),
}
"""Calls whose value is what they are given, said another way."""
GATHERS = {"append", "extend", "insert", "add", "setdefault"}
PASSES_ON = (
    *(
        ast.JoinedStr,
        ast.FormattedValue,
        ast.BinOp,
        ast.BoolOp,
        ast.Tuple,
        ast.List,
        ast.Set,
        ast.Dict,
        ast.Starred,
    ),
    *(ast.keyword, ast.ListComp, ast.SetComp, ast.GeneratorExp, ast.DictComp, ast.Subscript),
)
ASKED_ONLY = (ast.Compare, ast.UnaryOp, ast.If, ast.While, ast.Expr, ast.Assert, ast.Raise)
"""Where a value is looked at or raised and goes nowhere else."""
Function = ast.FunctionDef | ast.AsyncFunctionDef


class SourcesRead:
    """The program's text taken in once, for all that is asked of it."""

    def __init__(self, sources: Mapping[Path, str]) -> None:
        self.nodes: dict[Path, list[ast.AST]] = {}
        """By file, those of one depth after the other."""
        self.parents: dict[ast.AST, ast.AST] = {}
        self.files: dict[ast.AST, Path] = {}
        self.mentions: dict[str, list[ast.expr]] = defaultdict(list)
        self.imported: dict[Path, dict[str, str]] = defaultdict(dict)
        """By file and name there: module, or module and name."""
        for file, source in sources.items():
            nodes: list[ast.AST] = [ast.parse(source)]
            self.nodes[file] = nodes
            for node in nodes:
                self.files[node] = file
                below = [one for one in ast.iter_child_nodes(node) if not isinstance(one, ast.expr_context)]
                self.parents.update(dict.fromkeys(below, node))
                nodes.extend(below)
                if isinstance(node, ast.Name | ast.Attribute) and isinstance(node.ctx, ast.Load):
                    self.mentions[node.id if isinstance(node, ast.Name) else node.attr].append(node)
                elif isinstance(node, ast.ImportFrom):
                    names = {name.asname or name.name: f"{node.module}.{name.name}" for name in node.names}
                    self.imported[file].update(names)


class ErrorHints:
    """``errors``: the functions and values that take hints; ``named``: arguments that are hints anywhere."""

    def __init__(
        self, read: SourcesRead, errors: Iterable[str], named: Iterable[str] = ("fault", "faults")
    ) -> None:
        self._errors, self._arguments = frozenset(errors), frozenset(named)
        self._parents, self._files = read.parents, read.files
        self._mentions, self._imported = read.mentions, read.imported
        self._functions: dict[str, list[Function]] = defaultdict(list)
        """By module and name; methods by a point and their name."""
        self._answers: dict[ast.AST, bool] = {}
        self.nodes = read.nodes
        for nodes in read.nodes.values():
            for node in nodes:
                if isinstance(node, Function):
                    self._functions[self._called(node)].append(node)

    def is_hint(self, node: ast.AST) -> bool:
        """Whether the value of an expression goes to errors only."""
        if node not in self._answers:
            self._answers[node] = True  # A loop of names says nothing against it.
            self._answers[node] = self._goes_to_errors(node, self._parents[node])
        return self._answers[node]

    def _goes_to_errors(self, node: ast.AST, above: ast.AST) -> bool:
        match above:
            case ast.keyword(arg=str(name)) if name in self._arguments:
                return True
            case ast.Call():
                return self._in_call(node, above)
            case ast.IfExp(test=test) if test is node:
                return True
            case ast.Attribute():  # A method of the value: its text, or an entry of its list.
                call = self._parents[above]
                return isinstance(call, ast.Call) and call.func is above and self.is_hint(call)
            case ast.NamedExpr(target=name):
                return self.is_hint(above) and self._named(name)
            case ast.Assign(targets=targets):
                return all(self._named(target) for target in targets)
            case ast.AnnAssign(target=target) | ast.AugAssign(target=target) | ast.For(target=target):
                return self._named(target)
            case ast.comprehension(target=target, iter=over):
                return over is not node or self._named(target)
            case ast.Return() | ast.Yield() | ast.YieldFrom():
                return self._returned(above)
        return isinstance(above, ASKED_ONLY) or (
            isinstance(above, (ast.IfExp, *PASSES_ON)) and self.is_hint(above)
        )

    def _in_call(self, node: ast.AST, call: ast.Call) -> bool:
        match call.func:
            case ast.Name(id=name) if name in self._errors:
                return True
            case func if func is node:
                return self.is_hint(call)
            case _ if isinstance(self._parents[call], ast.Raise):
                return True
            case ast.Name(id=name) if name in SAYS_THE_SAME:
                return self.is_hint(call)
            case ast.Name():
                return self._taken_by(node, call)
            case ast.Attribute(attr="__init__", value=ast.Call(func=ast.Name(id="super"))):
                bases = next(above.bases for above in self._above(call) if isinstance(above, ast.ClassDef))
                return any(isinstance(base, ast.Name) and base.id in self._errors for base in bases)
            case ast.Attribute(attr=attr, value=gathered) if attr in GATHERS:
                return self._named(gathered)
            case ast.Attribute(attr="join" | "fromkeys" | "format"):
                return self.is_hint(call)
            case ast.Attribute(attr="startswith" | "endswith"):
                return True
            case ast.Attribute():
                return self._taken_by(node, call)
        return False

    def _named(self, target: ast.expr) -> bool:
        """Whether every use of a name, in the function or file that gives it a value, goes to errors."""
        if isinstance(target, ast.Tuple):
            return all(map(self._named, target.elts))
        if isinstance(target, ast.Subscript):
            return self._named(target.value)
        if not isinstance(target, ast.Name):
            return False
        scope = next(above for above in self._above(target) if isinstance(above, (ast.Module, Function)))
        return self._uses_of(scope, target.id)

    def _uses_of(self, scope: ast.AST, name: str) -> bool:
        return all(
            self.is_hint(node)
            for node in self._mentions[name]
            if isinstance(node, ast.Name) and scope in self._above(node)
        )

    def _taken_by(self, node: ast.AST, call: ast.Call) -> bool:
        """Whether the function that is called uses what it is given here for errors only."""
        functions = self._functions.get(self._meant(call.func), [])
        if len(functions) != 1:
            return False
        if isinstance(node, ast.keyword):
            return self._uses_of(functions[0], str(node.arg))
        names = [argument.arg for argument in functions[0].args.args if argument.arg not in ("self", "cls")]
        taken = dict(zip(call.args, names, strict=False))
        return node in taken and self._uses_of(functions[0], taken[node])

    def _returned(self, node: ast.AST) -> bool:
        """Whether every use of the function that gives back this value goes to errors."""
        function = next((above for above in self._above(node) if isinstance(above, (Function, ast.Lambda))), None)
        if not isinstance(function, Function):
            return False
        called = self._called(function)
        local = [name for names in self._imported.values() for name, meant in names.items() if meant == called]
        mentions = {mention for name in {function.name, *local} for mention in self._mentions[name]}
        uses = [mention for mention in mentions if self._meant(mention) == called]
        return bool(uses) and all(map(self.is_hint, uses))

    def _called(self, function: Function) -> str:
        if isinstance(self._parents[function], ast.ClassDef):
            return f".{function.name}"
        return f"{_module(self._files[function])}.{function.name}"

    def _meant(self, mention: ast.expr) -> str:
        """The function that a name may mean, as in ``_called``."""
        file = self._files[mention]
        match mention:
            case ast.Name(id=name):
                return self._imported[file].get(name, f"{_module(file)}.{name}")
            case ast.Attribute(attr=attr, value=ast.Name(id=name)) if name in self._imported[file]:
                return f"{self._imported[file][name]}.{attr}"
            case ast.Attribute(attr=attr):
                return f".{attr}"
        return ""

    def _above(self, node: ast.AST) -> Iterator[ast.AST]:
        while node in self._parents:
            node = self._parents[node]
            yield node


def _module(file: Path) -> str:
    parts = file.with_suffix("").parts
    return ".".join(parts[parts.index("tunneltui") :] if "tunneltui" in parts else parts)
