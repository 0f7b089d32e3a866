"""The facts of a brief and of its pack as the hazard gate takes them; unknown stays unknown."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from packdesign.data.cells import Cell
from packdesign.engineering.charging.coldest import FREEZING_DEGC, coldest_charge_degc
from packdesign.foundation.constants import SECONDS_PER_DAY
from packdesign.foundation.errors import UnknownNameError
from packdesign.planning.brief.charge_sections import Charger
from packdesign.planning.brief.joint_sections import Connector, Fuse, Protection, Strips
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.place_sections import Cavity, Surroundings
from packdesign.planning.brief.schema import Brief
from packdesign.planning.hazards.cell_facts import situation_of_cell
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.needs.cells import cell_table_of
from packdesign.planning.needs.charger import coldest_on_charge, hottest_room_degc
from packdesign.planning.needs.fuse_parts import fuse_of
from packdesign.planning.needs.keeping import with_keeping
from packdesign.planning.needs.lot import with_lot
from packdesign.planning.needs.parts import board_of
from packdesign.planning.needs.readings import with_readings

__all__ = ["situation_of_brief"]

_PROTECTION: Final = {"board": "pack_board", "in_cell": "in_cell_only", "none": "none"}
_JOINTS: Final = {
    "spot_weld": ("spot_weld", "cell_can"),
    "laser_weld": ("spot_weld", "cell_can"),
    "solder_on_tab": ("solder", "tab"),
    "solder_on_can": ("solder", "cell_can"),
    "holder": ("spring", "cell_can"),
    "screw": ("screw", "tab"),
}
_SURFACES: Final = {"stone": "concrete", "metal": "concrete", "wood": None}
_HOBBY_CHEMISTRY: Final = {"unknown": None}


def situation_of_brief(
    brief: Brief, cell: Cell | None, *, series: int | None, parallel: int | None
) -> Situation:
    """Collect what the brief and the cell's sheet say, before anything is computed.

    Parameters
    ----------
    brief : Brief
        The brief.
    cell : Cell or None
        The cell, where it is chosen.
    series, parallel : int or None
        Counts, where they are chosen. [-]

    Returns
    -------
    Situation
        What nobody said is None.
    """
    found = Situation(series=series, parallel=parallel)
    if cell is not None:
        counted = situation_of_cell(cell, series=series or 1, parallel=parallel or 1)
        found = (
            counted if series else replace(counted, series=None, pack_full_v=None, energy_wh=None)
        )
    found = _with_pack(found, brief.pack or Pack(), cell)
    found = _with_claims(found, brief, cell)
    found = _with_mixed(found, brief, cell)
    found = _with_place(found, brief.cavity, brief.surroundings or Surroundings())
    found = _with_charger(found, brief.charger or Charger(), parallel=parallel, cell=cell)
    found = replace(
        found,
        is_charging=True if brief.charger is not None else None,
        charge_ambient_degc=hottest_room_degc(brief),
    )
    found = _with_cold_charge(found, brief, cell)
    found = with_keeping(found, brief)
    found = with_readings(found, brief, cell)
    return with_lot(found, brief.measured, cell)


def _with_pack(found: Situation, pack: Pack, cell: Cell | None) -> Situation:
    board = board_of(pack) or Protection()
    fuse = fuse_of(pack) or pack.fuse or Fuse()
    no_fuse = fuse.kind == "none" or fuse.part == "none"
    if no_fuse:  # figures left beside "none" are of no fuse
        fuse = Fuse()
    strips = pack.strips or Strips()
    plug = pack.connector or Connector()
    has_fuse = False if no_fuse else (True if pack.fuse is not None else None)
    joint_type, joint_place = _JOINTS.get(strips.joint or "", (None, None))
    families = None
    if cell is not None and not pack.mixed_cells:
        families = (cell.family.value,)
    overlaps = strips.insulated_overlaps
    pins = plug.live_pins_exposed
    return replace(
        found,
        has_fuse=has_fuse,
        fuse_a=fuse.rating_a,
        fuse_interrupt_a=fuse.breaking_capacity_a,
        protection=_PROTECTION.get(board.kind or ""),
        has_group_cutoff=False if board.kind == "none" else board.watches_each_group,
        board_series=board.series,
        board_overcharge_trip_v=board.overcharge_trip_v,
        board_continuous_a=board.continuous_a,
        board_balances=board.balances,
        has_cell_temperature_sensor=pack.temperature_sensor,
        has_temperature_cut=False,  # the brief has no word for one that stops the discharge
        connector_is_polarised=plug.polarised,
        pack_contacts=None if pins is None else ("pins" if pins else "sockets"),
        terminals_exposed=pins,
        battery_removable=pack.removable,
        has_wh_label=pack.label_printed,
        has_volt_and_ah_label=pack.label_printed,
        strip_material=strips.tested_as or strips.material,
        strip_calculated_as=strips.material,
        has_switch_lock=None if pack.switch is None else pack.switch.locks,
        cell_families=families,
        cell_origin=pack.cell_origin,
        cell_maker_known=pack.cell_maker_known,
        cells_same_model=not pack.mixed_cells if cell is not None else None,
        joint_type=joint_type,
        joint_place=joint_place,
        strip_crosses_positive_rim=strips.crosses_positive_rim,
        has_insulating_ring=pack.insulating_rings,
        strips_overlap=None if overlaps is None else True,
        insulation_layers=None if overlaps is None else int(overlaps),
        has_insulating_holder=pack.holder,
        cell_gap_m=pack.cell_gap_m,
        vent_end_covered=pack.vent_end_covered,
        pouch_free_thickness_fraction=pack.swelling_room_fraction,
        new_group_count=1 if pack.new_cells_in_old_pack else None,
        pack_age_years=None if pack.age_s is None else pack.age_s / (365 * SECONDS_PER_DAY),
    )


def _with_claims(found: Situation, brief: Brief, cell: Cell | None) -> Situation:
    """Bring what a label or a meter claims to one cell: the label may be of the cell or the pack.

    A claim is impossible only if it is so read either way, hence the label is of the whole group.
    A reading beyond physics is a slip of the unit or of the meter, and no better than a label.
    """
    label_ah = brief.pack.label_capacity_ah if brief.pack is not None else None
    read_ah = brief.measured.cell_capacity_ah if brief.measured is not None else None
    by_label_ah = found.claimed_capacity_ah
    if label_ah is not None and found.parallel:
        by_label_ah = label_ah / found.parallel
    claims_ah = [each for each in (by_label_ah, read_ah) if each is not None]
    if not claims_ah:
        return found
    claimed_ah = max(claims_ah)
    density = found.claimed_wh_per_litre
    if density is not None and cell is not None:
        density *= claimed_ah / cell.capacity_ah
    return replace(found, claimed_capacity_ah=claimed_ah, claimed_wh_per_litre=density)


def _with_mixed(found: Situation, brief: Brief, cell: Cell | None) -> Situation:
    """Add what is known of other cells in the pack; a name not in the table has no chemistry."""
    names = () if brief.pack is None else brief.pack.mixed_cells
    if not names:
        return found
    table = cell_table_of(brief)
    families = set() if cell is None else {cell.family.value}
    all_known = cell is not None
    for name in names:
        try:
            families.add(table.find(name).family.value)
        except UnknownNameError:
            all_known = False
    is_answer = all_known or len(families) > 1
    return replace(
        found,
        cell_families=tuple(sorted(families)) if is_answer else None,
        cells_same_model=False,
        cells_measured_alike=False,  # the brief has no word for cells shown to be alike
    )


def _with_place(found: Situation, cavity: Cavity | None, around: Surroundings) -> Situation:
    sealed = rigid = relief = None
    if cavity is not None:
        sealed = None if cavity.closure is None else cavity.closure == "sealed"
        if cavity.closure == "vented" and cavity.vent_area_m2 == 0:
            sealed = True  # a vent of no area lets nothing out
        rigid, relief = cavity.rigid, cavity.pressure_relief
        if cavity.shape == "open":
            sealed, rigid = False, False
    else:
        sealed, rigid = False, False
    return replace(
        found,
        cavity_is_sealed=sealed,
        cavity_is_rigid=True if rigid is None else rigid,
        relief_valve_reversible=None if cavity is None else cavity.relief_reversible,
        has_pressure_relief=not sealed if relief is None and sealed is not None else relief,
        hand_held=around.hand_held,
        immersion_expected=around.immersion,
        ingress_second_digit=around.water_rating,
    )


def _with_charger(
    found: Situation, charger: Charger, *, parallel: int | None, cell: Cell | None
) -> Situation:
    end_v = charger.end_voltage_per_cell_v
    if end_v is None and cell is not None and charger.current_a is None and charger.kind is None:
        end_v = cell.full_v  # no charger named: the cell's own standard charge is planned
    matched = charger.matched_to_pack
    for_whole_pack = charger.kind != "cell_chargers"
    if for_whole_pack and charger.series and found.series and charger.series != found.series:
        matched = False
        if end_v is None and cell is not None:
            end_v = cell.full_v
        # its whole voltage spreads over the cells that are there
        end_v = None if end_v is None else end_v * charger.series / found.series
    crate = None
    if charger.current_a is not None and cell is not None and parallel:
        crate = charger.current_a / (parallel * cell.capacity_ah)
    balances = charger.balances
    if balances is None and charger.balance_current_a is not None:
        balances = charger.balance_current_a > 0
    if balances is None and (not for_whole_pack or charger.balance_resistor_ohm is not None):
        balances = True
    chemistry = charger.chemistry
    return replace(
        found,
        charger_chemistry=_HOBBY_CHEMISTRY.get(chemistry or "unknown", chemistry),
        charger_matched=matched,
        charger_balances=balances,
        charge_v_per_cell=end_v,
        charge_current_a=charger.current_a,
        charge_crate=crate,
        charge_temperature_max_degc=charger.temperature_max_degc,
        charge_place=charger.place,
        charge_surface=_SURFACES.get(charger.surface or "wood", charger.surface),
        has_smoke_alarm=charger.smoke_alarm,
        is_attended=charger.attended,
        mains_path=charger.mains,
        room_area_m2=charger.room_area_m2,
        combustible_within_m=charger.combustible_within_m,
        since_use_s=charger.rest_after_use_s,
    )


def _with_cold_charge(found: Situation, brief: Brief, cell: Cell | None) -> Situation:
    """Add the coldest that cells are charged at, as the check on the charger has it.

    A brief without a charger plans no charge yet: then only frost counts, and nothing clears it.
    """
    least_degc = FREEZING_DEGC if cell is None else coldest_charge_degc(cell)
    said_degc = coldest_on_charge(brief, least_degc=least_degc).degc
    if brief.charger is None and said_degc is not None and said_degc >= least_degc:
        said_degc = None
    measured_degc = brief.measured.temperature_degc if brief.measured is not None else None
    if measured_degc is not None and measured_degc >= least_degc:
        measured_degc = None  # warm now says nothing of other days
    known = [each for each in (said_degc, measured_degc) if each is not None]
    return replace(found, charge_temperature_min_degc=min(known) if known else None)
