"""Layers, and that the quick paths stay quick."""

from __future__ import annotations

import ast
import importlib.util
import subprocess
import sys
from pathlib import Path

import pytest

Modules = dict[str, ast.Module]

HEAVY = {"pybamm", "pandas", "streamlit", "plotly", "trimesh", "ht", "fluids"}
PYBAMM_HOMES = ("packdesign/engineering/discharge/", "packdesign/engineering/charging/")
COMMAND_LINE = "packdesign.presentation.cli.main"


def _imported(node: ast.AST) -> list[str]:
    if isinstance(node, ast.Import):
        return [alias.name.partition(".")[0] for alias in node.names]
    if isinstance(node, ast.ImportFrom) and node.module:
        return [node.module.partition(".")[0]]
    return []


def _is_for_types(node: ast.stmt) -> bool:
    return isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"


def test_heavy_packages_are_imported_where_they_are_used(modules: Modules) -> None:
    early = [
        f"{path}:{statement.lineno} {name}"
        for path, tree in modules.items()
        for statement in tree.body
        if not _is_for_types(statement)
        for name in _imported(statement)
        if name in HEAVY
    ]
    assert not early


def test_pybamm_is_called_from_its_engines_only(modules: Modules) -> None:
    elsewhere = [
        f"{path}:{node.lineno}"
        for path, tree in modules.items()
        for node in ast.walk(tree)
        if "pybamm" in _imported(node) and not path.startswith(PYBAMM_HOMES)
    ]
    assert not elsewhere


def test_imports_are_written_out_in_full(modules: Modules) -> None:
    relative = [
        f"{path}:{node.lineno}"
        for path, tree in modules.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.level
    ]
    assert not relative


def test_the_command_line_starts_without_the_heavy_packages() -> None:
    if importlib.util.find_spec(COMMAND_LINE) is None:
        pytest.skip("no command line yet")
    code = f"import sys, {COMMAND_LINE}; print(*sorted({HEAVY!r} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert done.stdout.split() == []


def test_the_layers_hold(project: Path) -> None:
    code = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports())"
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=project, capture_output=True, check=False, text=True
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "3 kept, 0 broken" in done.stdout
