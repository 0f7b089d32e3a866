from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.electrical.network import PackNetwork, split_current
from packdesign.engineering.electrical.pack_path import (
    PackPath,
    PackWiring,
    PathPart,
    fuse_cold_ohm_from_rating,
    hardest_strip_share,
    pack_path,
)
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError

FUSE = PathPart(name="fuse", ohm=Band(0.004, 0.005, 0.006), basis=Basis.DATASHEET)


def test_every_part_is_named_and_they_add_up():
    path = pack_path(PackWiring(series=4, parallel=2, link_length_m=0.02, devices=(FUSE,)))
    assert [part.name for part in path.parts][-1] == "fuse"
    assert path.ohm.mid == pytest.approx(sum(part.ohm.mid for part in path.parts))
    assert path.ohm.low > sum(part.ohm.low for part in path.parts)
    assert path.ohm.high < sum(part.ohm.high for part in path.parts)


def test_volts_and_watts_are_those_of_the_whole():
    path = pack_path(PackWiring(series=3, parallel=1, link_length_m=0.02, devices=(FUSE,)))
    losses = path.losses(current_a=12.0)
    assert sum(loss.volts for loss in losses) == pytest.approx(12.0 * path.ohm.mid)
    assert sum(loss.watts for loss in losses) == pytest.approx(144.0 * path.ohm.mid)
    assert sum(loss.share_fraction for loss in losses) == pytest.approx(1.0)
    assert list(losses) == sorted(losses, key=lambda loss: -loss.volts)


@pytest.mark.parametrize("parallel", [1, 2, 3, 5, 8])
def test_the_gathering_strip_wastes_what_its_pieces_waste(parallel):
    # Piece k of the strip carries k of the P equal cell currents.
    pitch_ohm, current = 0.0012, 20.0
    pieces = np.arange(1, parallel)
    watts = float(np.sum((current * pieces / parallel) ** 2 * pitch_ohm))
    wiring = PackWiring(
        series=1,
        parallel=parallel,
        link_length_m=0.0012 / (6.99e-8 / (0.008 * 0.00015)),
        lead_awg=None,
        conductor_degc=20.0,
    )
    strips = pack_path(wiring).parts[0].ohm.mid
    assert current**2 * strips == pytest.approx(2 * watts)


def test_no_lead_leaves_the_lead_out():
    path = pack_path(PackWiring(series=1, parallel=1, link_length_m=0.0, lead_awg=None))
    assert not any("lead" in part.name for part in path.parts)


def test_the_path_is_as_sure_as_its_weakest_part():
    assert pack_path(PackWiring(series=2, parallel=1, link_length_m=0.02)).basis == Basis.ASSUMED
    assert PackPath(parts=(FUSE,)).basis == Basis.DATASHEET
    assert PackPath(parts=()).basis == Basis.ASSUMED


def test_a_path_of_nothing_loses_nothing():
    assert PackPath(parts=()).ohm == Band(0.0, 0.0, 0.0)
    assert PackPath(parts=()).losses(current_a=5.0) == ()


def test_what_nobody_knows_is_carried_along():
    wiring = PackWiring(series=1, parallel=1, link_length_m=0.0, unknown=("protection board",))
    assert pack_path(wiring).unknown == ("protection board",)


@given(st.integers(1, 8), st.integers(1, 8), st.floats(-20, 90))
def test_more_series_and_warmer_means_more_ohms(series, parallel, warm):
    def ohm(cells: int, temperature: float) -> float:
        return pack_path(
            PackWiring(
                series=cells,
                parallel=parallel,
                link_length_m=0.02,
                conductor_degc=temperature,
            )
        ).ohm.mid

    assert ohm(series + 1, warm) > ohm(series, warm)
    assert ohm(series, warm + 5) > ohm(series, warm)


def test_a_pack_needs_at_least_one_cell():
    with pytest.raises(OutOfRangeError, match="must be 1 or more"):
        PackWiring(series=0, parallel=1, link_length_m=0.02)


def test_lengths_are_not_negative():
    with pytest.raises(OutOfRangeError, match="link_length_m and lead_length_m"):
        PackWiring(series=1, parallel=1, link_length_m=-0.02)


def test_a_fuse_has_a_rating():
    with pytest.raises(OutOfRangeError, match="rating above 0 A"):
        fuse_cold_ohm_from_rating(rated_a=0.0)


@pytest.mark.parametrize("parallel", [2, 3, 5, 8])
def test_the_last_piece_of_a_gathering_strip_carries_what_the_network_gives(parallel):
    """Kirchhoff's laws for the pack: all cells of the first group but the one at the lead."""
    split = split_current(
        PackNetwork(strip_ohm=1e-7),
        emf_v=np.full((1, 3, parallel), 3.7),
        cell_ohm=np.full((1, 3, parallel), 0.02),
        pack_a=np.array([30.0]),
    )
    gathered_a = 30.0 - float(split.cell_a[0, 0, 0])
    share = hardest_strip_share(series=3, parallel=parallel)
    assert share == pytest.approx(max(gathered_a / 30.0, 1 / parallel), rel=1e-3)


def test_a_single_cell_has_no_strip_to_carry_anything():
    assert hardest_strip_share(series=1, parallel=1) == 0.0
