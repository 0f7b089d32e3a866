"""The facts of one pack and of what is done with it, each known or None. Nothing is judged here.

``None`` means that nobody has said; it never means no. A brief fills what it knows; the charge
plan, the intake of measured cells, upkeep and the page fill the rest.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Situation"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """Flat record of facts, all optional, grouped by what they belong to."""

    # The pack and its path of current
    series: int | None = None
    parallel: int | None = None
    pack_full_v: float | None = None
    pack_resistance_ohm: float | None = None
    loop_resistance_ohm: float | None = None
    """Wire, connector and whatever else lies in the loop of a short circuit outside. [ohm]"""
    energy_wh: float | None = None
    load_continuous_a: float | None = None
    has_fuse: bool | None = None
    fuse_a: float | None = None
    fuse_interrupt_a: float | None = None
    """Largest direct current that the fuse can break at this voltage. [A]"""
    wire_ampacity_a: float | None = None
    """What the lead of the pack carries, alone in free air. [A]"""
    protection: str | None = None
    """"none", "in_cell_only" (the small devices inside each cell) or "pack_board"."""
    has_group_cutoff: bool | None = None
    """Whether something watches each parallel group and cuts off by its voltage."""
    board_series: int | None = None
    board_overcharge_trip_v: float | None = None
    board_continuous_a: float | None = None
    board_balances: bool | None = None
    board_has_tripped: bool | None = None
    groups_measured_since_trip: bool | None = None
    has_cell_temperature_sensor: bool | None = None
    has_temperature_cut: bool | None = None
    """Whether something stops the discharge by the temperature of a cell."""
    connector_is_polarised: bool | None = None
    pack_contacts: str | None = None
    """Pack side of the plug: "pins" or "sockets"."""
    terminals_exposed: bool | None = None
    strip_material: str | None = None
    """"nickel", "plated_steel", "copper"."""
    strip_calculated_as: str | None = None
    regen_enabled: bool | None = None
    regen_has_ceiling: bool | None = None
    """Whether braking stops at a set voltage or the pack is kept below full for it."""
    has_switch_lock: bool | None = None
    battery_removable: bool | None = None
    has_wh_label: bool | None = None
    has_volt_and_ah_label: bool | None = None

    # The cells
    cell_family: str | None = None
    """Value of ``data.cells.Family``: "nmc", "lfp", ..."""
    cell_families: tuple[str, ...] | None = None
    """Families of all cells in the pack, where they may differ."""
    cell_form: str | None = None
    """Value of ``data.cells.CellForm``: "cylinder", "pouch", "prism"."""
    cell_size_code: str | None = None
    cell_full_v: float | None = None
    cell_cutoff_v: float | None = None
    cell_energy_wh: float | None = None
    claimed_capacity_ah: float | None = None
    claimed_wh_per_litre: float | None = None
    """Claimed energy of a cell over the volume of its can or pouch. [W h/l]"""
    cell_origin: str | None = None
    """"new", "used_pack", "scrap", "rewrapped" or "unknown" (bought without a trace)."""
    cell_maker_known: bool | None = None
    cells_same_model: bool | None = None
    cells_measured_alike: bool | None = None
    """Different labels, yet the same chemistry, limits and measured capacity."""
    ocv_spread_v: float | None = None
    resistance_spread_ohm: float | None = None
    capacity_spread_ah: float | None = None
    cell_max_charge_a: float | None = None
    cell_charge_min_degc: float | None = None
    cell_charge_max_degc: float | None = None
    cell_discharge_max_degc: float | None = None
    cell_rating_needs_temperature_cut: bool | None = None
    cell_uncut_continuous_a: float | None = None
    """Continuous rating of a cell without a temperature cut. [A]"""
    cell_easy_without_cut_a: float | None = None
    """Current at which no temperature cut is asked for. [A]"""
    cell_load_continuous_a: float | None = None
    """Steady current of the hardest-worked cell. [A]"""
    cell_was_shorted: bool | None = None

    # The cavity and the hand around it
    cavity_is_sealed: bool | None = None
    cavity_is_rigid: bool | None = None
    has_pressure_relief: bool | None = None
    relief_valve_reversible: bool | None = None
    pouch_free_thickness_fraction: float | None = None
    """Room left for a pouch to thicken, as a fraction of its thickness. [-]"""
    vent_end_covered: bool | None = None
    cell_gap_m: float | None = None
    has_insulating_holder: bool | None = None
    hand_held: bool | None = None
    surface_degc: float | None = None
    """Hottest that the surface gets in one run on the hottest day. [degC]"""
    surface_air_degc: float | None = None
    """Air of that day. [degC]"""
    immersion_expected: bool | None = None
    ingress_second_digit: int | None = None
    """Second digit of the IP code of the device. [-]"""

    # Putting it together
    joint_type: str | None = None
    """"spot_weld", "solder", "spring", "screw"."""
    joint_place: str | None = None
    """"cell_can" or "tab"."""
    strip_crosses_positive_rim: bool | None = None
    has_insulating_ring: bool | None = None
    parallel_join_gap_v: float | None = None
    """Difference between two cells or packs about to be joined in parallel. [V]"""
    tap_voltages_v: tuple[float, ...] | None = None
    """Balance wires against the pack's minus, in pin order, minus first. [V]"""
    strips_overlap: bool | None = None
    insulation_layers: int | None = None
    charge_count: int | None = None
    is_attended: bool | None = None

    # Groups as measured
    lowest_group_v: float | None = None
    group_gap_at_rest_v: float | None = None
    group_gap_at_full_v: float | None = None
    pack_gap_per_cell_v: float | None = None
    """Difference per cell between packs joined to one charger. [V]"""
    worst_group_sag_v: float | None = None
    median_group_sag_v: float | None = None
    below_floor_s: float | None = None
    """How long a group has stayed below the cell's cut-off. [s]"""

    # Charging
    is_charging: bool | None = None
    charger_chemistry: str | None = None
    """"li_ion" (4.2 V class), "lfp", "lto", "na_ion", "lead_acid", "nimh"."""
    charger_matched: bool | None = None
    charger_balances: bool | None = None
    charge_v_per_cell: float | None = None
    charge_current_a: float | None = None
    charge_crate: float | None = None
    charge_temperature_min_degc: float | None = None
    """Coldest that a cell may be when it is charged. [degC]"""
    charge_temperature_max_degc: float | None = None
    charge_ambient_degc: float | None = None
    charge_rise_k: float | None = None
    charge_place: str | None = None
    """"hallway", "stairs", "by_exit", "garage", "outdoors", "room"."""
    charge_surface: str | None = None
    """"bed", "sofa", "carpet", "tile", "concrete"."""
    combustible_within_m: float | None = None
    has_smoke_alarm: bool | None = None
    room_area_m2: float | None = None
    mains_path: str | None = None
    """"wall_socket", "daisy_chain", "unrated_extension", "makeshift"."""
    cell_temperature_degc: float | None = None
    cell_voltage_v: float | None = None
    """Lowest cell or group at rest. [V]"""
    days_below_two_volts: float | None = None
    since_use_s: float | None = None

    # State of the pack
    pack_current_a: float | None = None
    warming_k_per_min: float | None = None
    is_warm_at_rest: bool | None = None
    """Felt to warm by itself, where nobody measured how fast."""
    short_duration_s: float | None = None
    dent_depth_m: float | None = None
    is_pierced: bool | None = None
    """Pierced or torn, or dented so that nobody measured how deep."""
    is_damaged: bool | None = None
    is_immersed: bool | None = None
    water: str | None = None
    """"fresh" or "salt"."""
    is_wet_inside: bool | None = None
    immersed_since_check: bool | None = None
    housing_flooded: bool | None = None
    housing_being_opened: bool | None = None
    capacity_left_fraction: float | None = None
    thickness_over_new_fraction: float | None = None
    """Thickness of a pouch over what it was when new; 1.0 is unchanged. [-]"""
    pack_age_years: float | None = None

    # Storing
    storage_soc_fraction: float | None = None
    storage_days: float | None = None
    storage_degc: float | None = None
    in_parked_car: bool | None = None
    outdoor_degc: float | None = None
    humidity_percent: float | None = None
    days_since_check: float | None = None
    packs_touching: int | None = None
    child_accessible: bool | None = None
    kept_indoors: bool | None = None

    # Carrying
    carry_mode: str | None = None
    """"car", "air" (passenger), "air_cargo", "post", "courier"."""
    is_spare: bool | None = None
    bag: str | None = None
    """"cabin" or "checked"."""
    is_power_bank: bool | None = None
    power_bank_count: int | None = None
    recharging_aboard: bool | None = None
    un38_3_tested: bool | None = None
    makes_heat_or_motion: bool | None = None
    battery_installed: bool | None = None
    is_isolated: bool | None = None
    in_equipment: bool | None = None
    packed_with_equipment: bool | None = None
    is_used: bool | None = None
    sent_by_air: bool | None = None
    soc_fraction: float | None = None

    # Repair, disposal, first response
    is_piercing: bool | None = None
    bath: str | None = None
    """"salt_water" or "fresh_water"."""
    new_group_count: int | None = None
    is_reworked: bool | None = None
    given_to_others: bool | None = None
    disposal_route: str | None = None
    """"bin", "kerbside", "collection_point", "normal_box", "burn", "crush"."""
    terminals_taped: bool | None = None
    emergency_sign: bool | None = None
    has_flame: bool | None = None
    carried_by_hand: bool | None = None
    extinguisher: str | None = None
    """"powder", "co2", "halon", "water"."""
    cooled_with_water: bool | None = None
    smoke_inhaled: bool | None = None
    electrolyte_contact: str | None = None
    """"skin", "eye" or "none"."""
    has_burn: bool | None = None
    minutes_to_cooling: float | None = None
