"""The sources, read once for every rule."""

from __future__ import annotations

import ast
import subprocess
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parents[2]


def _parsed(folder: str) -> dict[str, ast.Module]:
    files = sorted((PROJECT / folder).rglob("*.py"))
    return {str(file.relative_to(PROJECT)): ast.parse(file.read_text()) for file in files}


@pytest.fixture(scope="session")
def project() -> Path:
    return PROJECT


@pytest.fixture(scope="session")
def modules() -> dict[str, ast.Module]:
    """Every module of the package, by its path in the project."""
    return _parsed("packdesign")


@pytest.fixture(scope="session")
def test_modules() -> dict[str, ast.Module]:
    return _parsed("tests")


@pytest.fixture(scope="session")
def tracked() -> list[str]:
    """Every file that git keeps; the test is skipped outside a checkout."""
    if not (PROJECT / ".git").exists():
        pytest.skip("no git checkout")
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=PROJECT, capture_output=True, check=True, text=True
    )
    return [name for name in listed.stdout.split("\0") if name and (PROJECT / name).is_file()]
