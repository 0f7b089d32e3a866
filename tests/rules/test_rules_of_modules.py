"""How long modules and functions may be, what they make public, what they may not do."""

from __future__ import annotations

import ast
import statistics
from collections.abc import Iterator
from pathlib import Path

Modules = dict[str, ast.Module]
Function = ast.FunctionDef | ast.AsyncFunctionDef

LONGEST_MODULE = 400
LONGEST_MEDIAN = 250
LONGEST_BODY = 60
UNCLEAR_ENDINGS = ("_c", "_mohm", "_mohms", "_celsius")
"""Celsius, coulomb or C-rate? Milliohm or megohm? Write _degc, _crate, _milliohm."""
EMPTY_WORDS = {"utils", "util", "helpers", "helper", "misc", "common", "manager", "tools"}
BARE_ERRORS = {"Exception", "ValueError", "TypeError", "KeyError", "RuntimeError", "SystemExit"}


def _functions(tree: ast.Module) -> Iterator[Function]:
    return (node for node in ast.walk(tree) if isinstance(node, Function))


def _body_lines(function: Function) -> int:
    first, last = function.body[0], function.body[-1]
    has_text = isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant)
    start = (first.end_lineno or 0) + 1 if has_text else first.lineno
    return (last.end_lineno or 0) - start + 1


def _public_names(tree: ast.Module) -> set[str]:
    names = set()
    for node in tree.body:
        if isinstance(node, Function | ast.ClassDef):
            names.add(node.name)
    return {name for name in names if not name.startswith("_")}


def _declared(tree: ast.Module) -> list[str] | None:
    for node in tree.body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__":
            return list(ast.literal_eval(node.value))
    return None


def _bound_names(tree: ast.Module) -> set[str]:
    names = _public_names(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.Import | ast.ImportFrom):
            names |= {alias.asname or alias.name for alias in node.names}
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            names.add(node.id)
    return names


def test_no_module_is_longer_than_one_idea(modules: Modules, project: Path) -> None:
    lengths = {path: len((project / path).read_text().splitlines()) for path in modules}
    too_long = {path: lines for path, lines in lengths.items() if lines > LONGEST_MODULE}
    assert not too_long
    assert statistics.median(lengths.values()) < LONGEST_MEDIAN


def test_no_function_goes_on_for_ever(modules: Modules) -> None:
    too_long = {
        f"{path}:{function.lineno} {function.name}": _body_lines(function)
        for path, tree in modules.items()
        for function in _functions(tree)
        if _body_lines(function) > LONGEST_BODY
    }
    assert not too_long


def test_every_module_says_what_it_is_for(modules: Modules) -> None:
    assert not [path for path, tree in modules.items() if not ast.get_docstring(tree)]


def test_all_names_what_is_public_and_no_more(modules: Modules) -> None:
    wrong = {}
    for path, tree in modules.items():
        declared, public = _declared(tree), _public_names(tree)
        if declared is None:
            if public:
                wrong[path] = f"no __all__, but {sorted(public)}"
            continue
        hidden = public - set(declared)
        unknown = set(declared) - _bound_names(tree)
        if hidden or unknown or len(declared) != len(set(declared)):
            wrong[path] = f"left out: {sorted(hidden)}, not there: {sorted(unknown)}"
    assert not wrong


def test_only_public_names_are_taken_from_a_module(modules: Modules) -> None:
    declared = {
        path.removesuffix(".py").removesuffix("/__init__").replace("/", "."): _declared(tree)
        for path, tree in modules.items()
    }
    taken = [
        f"{path}:{node.lineno} {alias.name}"
        for path, tree in modules.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module in declared
        for alias in node.names
        if alias.name not in (declared[node.module] or [])
        and f"{node.module}.{alias.name}" not in declared
    ]
    assert not taken


def test_nothing_prints(modules: Modules) -> None:
    printing = [
        f"{path}:{node.lineno}"
        for path, tree in modules.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "print"
    ]
    assert not printing


def test_errors_come_from_the_one_tree(modules: Modules) -> None:
    wrong = []
    for path, tree in modules.items():
        for node in ast.walk(tree):
            if isinstance(node, ast.Raise) and node.exc is not None:
                raised = node.exc.func if isinstance(node.exc, ast.Call) else node.exc
                if ast.unparse(raised) in BARE_ERRORS:
                    wrong.append(f"{path}:{node.lineno} raises {ast.unparse(raised)}")
            if isinstance(node, ast.ClassDef) and path != "packdesign/foundation/errors.py":
                bases = {ast.unparse(base) for base in node.bases}
                if bases & BARE_ERRORS or any(base.endswith("Error") for base in bases):
                    wrong.append(f"{path}:{node.lineno} grows the tree elsewhere")
    assert not wrong


def test_names_say_their_unit_without_doubt(modules: Modules) -> None:
    unclear = []
    for path, tree in modules.items():
        for node in ast.walk(tree):
            if isinstance(node, ast.arg):
                name = node.arg
            elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
                name = node.id
            else:
                continue
            if name.endswith(UNCLEAR_ENDINGS):
                unclear.append(f"{path}:{node.lineno} {name}")
    assert not unclear


def test_no_module_is_a_drawer_for_odds_and_ends(modules: Modules) -> None:
    assert not [path for path in modules if Path(path).stem in EMPTY_WORDS]


def test_every_expected_error_is_matched_by_its_words(test_modules: Modules) -> None:
    loose = [
        f"{path}:{node.lineno}"
        for path, tree in test_modules.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and ast.unparse(node.func) == "pytest.raises"
        and "match" not in {keyword.arg for keyword in node.keywords}
    ]
    assert not loose


def test_test_files_have_names_of_their_own(test_modules: Modules) -> None:
    names = [Path(path).name for path in test_modules]
    twice = {name for name in names if names.count(name) > 1 and name.startswith("test_")}
    assert not twice
