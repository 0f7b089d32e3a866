"""What to check while building, in the order of the work: the hazards of assembly, turned round."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.data.cells import CellForm
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.hazards.assembly import ASSEMBLY_HAZARDS, LARGEST_JOIN_GAP_V

__all__ = ["BenchCheck", "bench_checks", "checks_of"]

_GAP: Final = f"{LARGEST_JOIN_GAP_V * 1000:.0f} mV"
_ORDER: Final = (
    ("before joining", "flashed_cells_reused", "No cell was short-circuited on the way."),
    (
        "before joining",
        "unequal_voltage_paralleled",
        f"Cells that are joined in parallel rest within {_GAP} of each other.",
    ),
    ("joining", "solder_on_cell_can", "Nothing is soldered onto a cell itself."),
    (
        "joining",
        "positive_rim_uninsulated",
        "No metal crosses the rim of a positive end without an insulating ring under it.",
    ),
    (
        "joining",
        "cell_fitted_backwards",
        "Every group reads above 0 V, measured before each joint.",
    ),
    (
        "insulating",
        "insulation_missing_between_strips",
        "Strips that cross at different voltage have more than film between them.",
    ),
    (
        "balance wires",
        "tap_wires_out_of_order",
        "The balance wires rise by the voltage of one cell from pin to pin.",
    ),
    ("first rest", "group_gap_after_build", f"After the first rest the groups are within {_GAP}."),
    ("first charge", "first_charge_left_alone", "Somebody stays with the first charge to its end."),
)
"""Moment at which a hazard of assembly can still be prevented, the hazard, what must be so."""
_NEEDS_PARALLEL: Final = frozenset({"unequal_voltage_paralleled"})
_NEEDS_SERIES: Final = frozenset({"tap_wires_out_of_order", "group_gap_after_build"})
_NEEDS_RIMS: Final = frozenset({"positive_rim_uninsulated"})


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchCheck:
    """One thing to look at while building."""

    id: str
    """The hazard that it prevents."""
    moment: str
    must_be: str
    """What is ticked when it is so."""
    do: str
    """What is done about it, in the words of the hazard."""
    source: str
    basis: str


def bench_checks(*, series: int, parallel: int, has_rims: bool = True) -> tuple[BenchCheck, ...]:
    """Give the checks of a build, in the order of the work.

    Parameters
    ----------
    series, parallel : int
        Counts of the pack; what only matters with more than one is left out. [-]
    has_rims : bool
        Whether its cells have positive ends with a rim, as cylinders do.

    Examples
    --------
    >>> [check.moment for check in bench_checks(series=1, parallel=1)]
    ['before joining', 'joining', 'joining', 'joining', 'insulating', 'first charge']
    """
    known = {hazard.id: hazard for hazard in ASSEMBLY_HAZARDS}
    return tuple(
        BenchCheck(
            id=name,
            moment=moment,
            must_be=must_be,
            do=known[name].fix,
            source=known[name].source,
            basis=known[name].basis.value,
        )
        for moment, name, must_be in _ORDER
        if (parallel > 1 or name not in _NEEDS_PARALLEL)
        and (series > 1 or name not in _NEEDS_SERIES)
        and (has_rims or name not in _NEEDS_RIMS)
    )


def checks_of(design: PackDesign) -> tuple[BenchCheck, ...]:
    """Give the checks of the build of a pack.

    Parameters
    ----------
    design : PackDesign
        The pack.
    """
    return bench_checks(
        series=design.series,
        parallel=design.parallel,
        has_rims=design.cell.form is CellForm.CYLINDER,
    )
