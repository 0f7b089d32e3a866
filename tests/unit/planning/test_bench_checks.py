"""Checks at the bench and the digest of a brief."""

from __future__ import annotations

from pathlib import Path

from packdesign.planning.bench.bench_checks import bench_checks
from packdesign.planning.brief.digest import brief_digest
from packdesign.planning.brief.load import brief_from_text
from packdesign.planning.hazards.assembly import ASSEMBLY_HAZARDS


def test_every_hazard_of_assembly_has_its_check_and_no_other():
    checks = bench_checks(series=3, parallel=2)
    assert {each.id for each in checks} == {hazard.id for hazard in ASSEMBLY_HAZARDS}
    assert len(checks) == len(ASSEMBLY_HAZARDS)
    fixes = {hazard.id: hazard.fix for hazard in ASSEMBLY_HAZARDS}
    assert all(each.do == fixes[each.id] and each.source for each in checks)


def test_what_needs_a_second_cell_is_left_out_for_one():
    alone = {each.id for each in bench_checks(series=1, parallel=1)}
    assert not alone & {
        "unequal_voltage_paralleled", "tap_wires_out_of_order", "group_gap_after_build",
    }  # fmt: skip


def test_pouches_have_no_rim():
    flat = {each.id for each in bench_checks(series=1, parallel=1, has_rims=False)}
    assert "positive_rim_uninsulated" not in flat


def _with_log(folder: Path, content: str, title: str = "x") -> str:
    folder.mkdir(exist_ok=True)
    (folder / "log.csv").write_text(content)
    text = f'title = "{title}"\n[load]\nlog = "log.csv"\n'
    return brief_digest(brief_from_text(text, base_folder=folder))


def test_the_digest_knows_contents_and_not_places(tmp_path):
    first = _with_log(tmp_path / "here", "time_s,current_a\n0,1\n1,1\n")
    assert first == _with_log(tmp_path / "there", "time_s,current_a\n0,1\n1,1\n")
    assert first != _with_log(tmp_path / "here", "time_s,current_a\n0,1\n1,2\n")
    assert first != _with_log(tmp_path / "there", "time_s,current_a\n0,1\n1,1\n", title="y")
    assert len(first) == 12
