"""Help, cells, briefs and version: quick answers without the heavy packages."""

from __future__ import annotations

import socket
import subprocess
import sys
import time
import tomllib
import urllib.request
from collections.abc import Callable
from pathlib import Path

import pytest

from packdesign.planning.assess.discharge import Engine
from packdesign.planning.brief.load import load_brief
from packdesign.presentation.cli.engine_choice import EngineChoice
from packdesign.presentation.page.launch import page_command
from tests.conftest import Ran

Run = Callable[..., Ran]
HEAVY = {"pybamm", "pandas", "streamlit", "scipy", "numpy", "pydantic", "plotly", "trimesh", "pint"}
COMMANDS = (
    "assess", "discharge", "charge", "gauge", "shortlist", "compare", "cells", "brief", "page",
)  # fmt: skip


def test_help_answers_without_the_heavy_packages() -> None:
    code = (
        "import atexit, sys\n"
        f"atexit.register(lambda: sys.stderr.write(' '.join({HEAVY!r} & set(sys.modules))))\n"
        "from packdesign.presentation.cli.main import run\n"
        "run(['--help'])\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert "Usage: packdesign" in done.stdout
    assert done.stderr == "", "these were imported for nothing"


@pytest.mark.parametrize("command", COMMANDS)
def test_help_teaches_by_example(packdesign: Run, command: str) -> None:
    ran = packdesign(command, "--help")
    assert ran.status == 0
    assert f"  packdesign {command}" in ran.out
    assert "Example" in ran.out
    assert command in packdesign("--help").out


def test_no_words_at_all_show_the_help(packdesign: Run) -> None:
    ran = packdesign()
    assert ran.status == 2
    assert "Usage: packdesign" in ran.out + ran.err


def test_the_version_is_told(packdesign: Run) -> None:
    ran = packdesign("--version")
    assert ran.status == 0
    assert ran.out.startswith("packdesign ")


def test_the_engines_of_the_command_line_are_those_there_are() -> None:
    assert {each.value for each in EngineChoice} == {each.value for each in Engine}


def test_cells_are_filtered(packdesign: Run) -> None:
    ran = packdesign("cells", "--size", "18650", "--least-amps", "15", "--json")
    assert ran.status == 0
    found = ran.json
    assert 0 < found["count"] == len(found["cells"]) < found["among"]
    assert found["among"] >= 120
    for cell in found["cells"]:
        assert cell["size_code"] == "18650"
        assert cell["figures"]["continuous_a"]["value"] >= 15


def test_a_cell_shows_basis_and_source_of_each_figure(packdesign: Run) -> None:
    found = packdesign("cells", "INR18650-30Q", "--json").json["cell"]
    assert found["name"] == "Samsung SDI INR18650-30Q"
    assert found["source"]
    bases = {"measured", "datasheet", "published", "practice", "assumed"}
    for key, figure in found["figures"].items():
        assert (figure["basis"] in bases) == (figure["value"] is not None), key
    shown = packdesign("cells", "INR18650-30Q")
    assert "datasheet" in shown.out
    assert found["source"][:30] in shown.out


def test_cells_list_their_count_and_marks(packdesign: Run) -> None:
    ran = packdesign("cells", "--form", "pouch")
    assert ran.status == 0
    assert "only while something cuts off" in " ".join(ran.out.split())


def test_an_unknown_cell_offers_the_nearest(packdesign: Run) -> None:
    ran = packdesign("cells", "INR18650-30QQ")
    assert ran.status == 2
    assert "nearest" in ran.err
    assert "INR18650-30Q" in ran.err


def test_the_starting_brief_can_be_used_as_it_is(packdesign: Run, tmp_path: Path) -> None:
    assert tomllib.loads(packdesign("brief").out)["title"]
    path = tmp_path / "mine.toml"
    ran = packdesign("brief", path)
    assert ran.status == 0
    assert f"packdesign assess {path}" in ran.err
    assert load_brief(path).title


def test_the_examples_are_listed(packdesign: Run) -> None:
    assert packdesign("brief", "--examples").out.split() == ["rover", "soil_corer", "turntable"]


@pytest.mark.slow
def test_the_shortlist_chooses_where_the_brief_names_no_cell(
    packdesign: Run, tmp_path: Path
) -> None:
    path = tmp_path / "mine.toml"
    packdesign("brief", path)
    ran = packdesign("assess", path, "--json")
    assert ran.status == 0
    assert "the shortlist chose" in ran.err
    assert ran.json["pack"]["cell"] in ran.err


def test_a_cavity_that_takes_no_cell_is_said(packdesign: Run, tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(
        '[cavity]\nshape = "tube"\nbore = "6 mm"\nlength = "20 mm"\n'
        '[[loads]]\nname = "lamp"\nwatts = 3\n'
    )
    ran = packdesign("assess", path)
    assert ran.status == 2
    assert "no pack of the shortlist passes" in ran.err


def test_the_page_is_served_on_this_machine_only_and_ends_with_its_command() -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "packdesign", "page", "--port", str(port), "--no-browser"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT) as shown:
        try:
            assert _answers(port, within_s=30.0)
        finally:
            shown.terminate()
        assert shown.wait(timeout=20) == 0
    assert not _answers(port, within_s=0.0)


def _answers(port: int, *, within_s: float) -> bool:
    """Whether the page answers here within a time."""
    until = time.monotonic() + within_s
    while True:
        try:
            with urllib.request.urlopen(f"http://localhost:{port}/_stcore/health", timeout=1):
                return True
        except OSError:
            if time.monotonic() >= until:
                return False
            time.sleep(0.2)


@pytest.mark.parametrize(
    "setting", ["gatherUsageStats=false", "port=8600", "address=localhost", "headless=true"]
)
def test_the_page_is_served_with_its_settings(setting: str) -> None:
    words = " ".join(page_command(port=8600, open_browser=False))
    assert "streamlit run" in words
    assert setting in words
