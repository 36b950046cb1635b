"""The sentences that rules build, read off their source: literal text with numbered holes."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

SKIPPED_KEYWORDS = frozenset(
    {"clause", "needs", "when", "clauses", "unit", "kind", "check", "topic", "absent", "default"}
)
SKIPPED_NAMES = frozenset({"CLAUSES", "WHEN", "KIND", "HAZARD", "MUST_MEASURE"})
_CODE = re.compile(r"[a-z]+[a-z0-9]*([_.][a-z0-9_]+)+|[A-Z_]+\Z|[^A-Za-z{}]*")
SAYERS = frozenset({"say", "NotRecorded", "DataRequired", "InputRequired"})
_NAMED_CALLS = frozenset({
    "is_", "some", "yes", "no", "said", "startswith", "endswith", "removeprefix", "removesuffix", "partition",
    "Decimal", "getattr",
})  # fmt: skip


def sentences(source: str) -> list[str]:
    """Every text that a module of the rules may say, a hole `{0}` for what is put in; each once.

    source   the module's text; its docstrings are left out

    >>> sentences('said = f"Tap {plain(tap)} F, {word} {limit} F." + (" Hot." if hot else "")')
    ['Tap {0} F, {1} {2} F.{3}', ' Hot.']
    """
    return list(dict.fromkeys(one for one in _walk(ast.parse(source)) if not _CODE.fullmatch(one)))


def _walk(node: ast.AST) -> Iterator[str]:
    if _is_text(node):
        parts: list[str | None] = []
        inner: list[ast.AST] = []
        _pieces(node, parts, inner)
        yield _joined(parts)
        for one in inner:
            yield from _walk(one)
        return
    for child in _inside(node):
        yield from _walk(child)


def _inside(node: ast.AST) -> Iterator[ast.AST]:
    """The parts of a node in which words may stand that are said."""
    if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef)):
        # What stands alone says nothing: docstrings, and the lines under a constant.
        yield from (
            one
            for one in node.body
            if not (isinstance(one, ast.Expr) and isinstance(one.value, ast.Constant))
        )
        if isinstance(node, ast.FunctionDef):
            yield from (one for one in node.decorator_list if isinstance(one, ast.Call))
    elif isinstance(node, (ast.AnnAssign, ast.Assign)):
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        if node.value is not None and not any(getattr(one, "id", "") in SKIPPED_NAMES for one in targets):
            yield node.value
    elif isinstance(node, ast.Call):
        named = getattr(node.func, "attr", getattr(node.func, "id", ""))
        if named not in _NAMED_CALLS:
            yield from node.args[1:] if named == "get" else node.args
        yield node.func
        yield from (one.value for one in node.keywords if one.arg not in SKIPPED_KEYWORDS)
    elif isinstance(node, ast.Dict):
        yield from node.values
    elif isinstance(node, ast.Subscript):
        yield node.value
    elif not isinstance(node, (ast.Compare, ast.Import, ast.ImportFrom, ast.arguments)):
        yield from ast.iter_child_nodes(node)


def _is_text(node: ast.AST) -> bool:
    if isinstance(node, ast.Constant):
        return isinstance(node.value, str)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
        return _is_text(node.left) or _is_text(node.right)
    return isinstance(node, ast.JoinedStr)


def _pieces(node: ast.AST, parts: list[str | None], inner: list[ast.AST]) -> None:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        parts.append(node.value)
    elif isinstance(node, ast.JoinedStr):
        for one in node.values:
            _pieces(one.value if isinstance(one, ast.FormattedValue) else one, parts, inner)
    elif isinstance(node, ast.BinOp) and _is_text(node):
        _pieces(node.left, parts, inner)
        _pieces(node.right, parts, inner)
    else:
        parts.append(None)
        inner.append(node)


def _joined(parts: list[str | None]) -> str:
    text, holes = "", 0
    for one in parts:
        if one is None:
            text += f"{{{holes}}}"
            holes += 1
        else:
            text += one
    return text


def said_by_name(source: str, sayers: frozenset[str] = SAYERS) -> list[str]:
    """Every text that a module says by `say(...)`, and what it expects in a `BadAnswer(...)`; each once.

    A name, a choice between two or an entry of a table is followed to the module's own constants.

    >>> said_by_name('LATE = "Too late."\\nsay(LATE if late else "On time.")')
    ['Too late.', 'On time.']
    """
    tree = ast.parse(source)
    own = {
        target.id: node.value
        for node in tree.body
        if isinstance(node, (ast.Assign, ast.AnnAssign)) and node.value is not None
        for target in (node.targets if isinstance(node, ast.Assign) else [node.target])
        if isinstance(target, ast.Name)
    }
    found: list[str] = []
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        named = getattr(node.func, "attr", getattr(node.func, "id", ""))
        if named in sayers:
            found += _followed(node.args[0], own) if node.args else []
        elif named == "BadAnswer":
            found += [one.value for one in node.args[1:] if isinstance(one, ast.Constant) and one.value]
    return list(dict.fromkeys(found))


def _followed(node: ast.AST, own: dict[str, ast.expr]) -> list[str]:
    if isinstance(node, ast.Constant):
        return [node.value] if isinstance(node.value, str) and node.value else []
    if isinstance(node, ast.IfExp):
        return _followed(node.body, own) + _followed(node.orelse, own)
    if isinstance(node, ast.Name):
        return _followed(own[node.id], own) if node.id in own else []
    if isinstance(node, ast.Subscript):
        return _followed(node.value, own)
    if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "get":
        return _followed(node.func.value, own) if isinstance(node.func, ast.Attribute) else []
    if isinstance(node, ast.Dict):
        return [text for one in node.values for text in _followed(one, own)]
    if isinstance(node, (ast.Tuple, ast.List)):
        return [text for one in node.elts for text in _followed(one, own)]
    return []
