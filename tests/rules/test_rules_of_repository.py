"""What the repository holds at its top, and what no file of it may say."""

from __future__ import annotations

import re
from pathlib import Path

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "pyproject.toml",
    "requirements.lock",
    "app.py",
    "packdesign",
    "cell_data",
    "tests",
}
THIS_FILE = "tests/rules/test_rules_of_repository.py"
MACHINE_PATHS = re.compile(r"/work/|/root/|/home/\w+/|/tmp/(?:venv|team|bash)|C:\\Users")
REGISTRY_HOSTS = re.compile(
    r"pypi\.org|pythonhosted|registry\.npmjs|conda\.anaconda|index-url", re.I
)
BARE_ADDRESSES = re.compile(r"https?://\d{1,3}(?:\.\d{1,3}){3}(?!\.\d)")
OWN_MACHINE = re.compile(r"https?://(?:127\.0\.0\.1|0\.0\.0\.0)")
UNSAFE_LOADING = re.compile(r"\bpickle\.|\bmarshal\.|(?<![\w.])eval\(|(?<![\w.])exec\(")


def _lines(project: Path, tracked: list[str]) -> list[tuple[str, int, str]]:
    contents = {name: (project / name).read_bytes() for name in tracked if name != THIS_FILE}
    return [
        (name, number, line)
        for name, content in contents.items()
        if b"\0" not in content  # pictures and the like are no text
        for number, line in enumerate(content.decode("utf-8", "replace").splitlines(), start=1)
    ]


def _saying(pattern: re.Pattern[str], lines: list[tuple[str, int, str]]) -> list[str]:
    return [f"{name}:{number}" for name, number, line in lines if pattern.search(line)]


def test_the_top_level_holds_nothing_else(tracked: list[str]) -> None:
    tops = {name.partition("/")[0] for name in tracked}
    assert {top for top in tops if not top.startswith(".")} <= TOP_LEVEL


def test_the_top_level_holds_all_of_it(project: Path) -> None:
    assert {name for name in TOP_LEVEL if not (project / name).exists()} == set()


def test_no_file_names_a_path_of_somebody_s_machine(project: Path, tracked: list[str]) -> None:
    assert _saying(MACHINE_PATHS, _lines(project, tracked)) == []


def test_no_file_names_a_package_registry(project: Path, tracked: list[str]) -> None:
    assert _saying(REGISTRY_HOSTS, _lines(project, tracked)) == []


def test_no_source_is_a_bare_address(project: Path, tracked: list[str]) -> None:
    lines = [
        (name, number, OWN_MACHINE.sub("", line)) for name, number, line in _lines(project, tracked)
    ]
    assert _saying(BARE_ADDRESSES, lines) == []


def test_no_file_of_ours_can_run_code(project: Path, tracked: list[str]) -> None:
    python = [each for each in _lines(project, tracked) if each[0].startswith("packdesign/")]
    assert _saying(UNSAFE_LOADING, python) == []


def test_no_measured_trace_is_kept(project: Path, tracked: list[str]) -> None:
    """Tables are kept; long logs are not. The largest table of cells stays far below this."""
    large = {name: (project / name).stat().st_size for name in tracked}
    assert {name: size for name, size in large.items() if size > 1_000_000} == {}
