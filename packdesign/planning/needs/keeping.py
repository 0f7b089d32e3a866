"""Facts for the gate of what is done with a pack: stored, carried, given up, gone wrong."""

from __future__ import annotations

from dataclasses import replace

from packdesign.foundation.constants import SECONDS_PER_DAY, SECONDS_PER_MINUTE
from packdesign.planning.brief.condition_section import Condition
from packdesign.planning.brief.incident_sections import Incident, Retirement
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.place_sections import Surroundings
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import Carrying, Measured, Storage
from packdesign.planning.hazards.situation import Situation

__all__ = ["with_keeping"]


def with_keeping(found: Situation, brief: Brief) -> Situation:
    """Add what the brief says of storing, carrying, giving up, and of an accident.

    Parameters
    ----------
    found : Situation
        What the rest of the brief tells.
    brief : Brief
        The brief.

    Returns
    -------
    Situation
        What nobody said stays None.
    """
    found = _with_storage(found, brief)
    found = _with_carrying(found, brief)
    return _with_end(found, brief)


def _with_storage(found: Situation, brief: Brief) -> Situation:
    storage, around = brief.storage or Storage(), brief.surroundings or Surroundings()
    humidity = storage.humidity_fraction
    hottest_degc = around.ambient_max_degc
    return replace(
        found,
        storage_soc_fraction=storage.soc_fraction,
        storage_days=_days(storage.duration_s),
        storage_degc=storage.temperature_degc,
        in_parked_car=storage.in_parked_car,
        outdoor_degc=around.ambient_degc if hottest_degc is None else hottest_degc,
        humidity_percent=None if humidity is None else humidity * 100,
        days_since_check=_days(storage.last_checked_s),
        packs_touching=storage.packs_touching,
        kept_indoors=storage.indoors,
        child_accessible=_opposite(storage.out_of_reach),
    )


def _with_carrying(found: Situation, brief: Brief) -> Situation:
    carrying = brief.carrying or Carrying()
    by_air = bool(carrying.flights) or carrying.mode == "air"
    banks = carrying.power_banks
    return replace(
        found,
        carry_mode="air" if by_air else carrying.mode,
        is_spare=carrying.spare,
        battery_installed=_opposite(carrying.spare),
        in_equipment=_opposite(carrying.spare),
        packed_with_equipment=carrying.with_device,
        terminals_exposed=True if carrying.terminals_covered is False else found.terminals_exposed,
        bag=carrying.bag,
        power_bank_count=banks,
        is_power_bank=None if banks is None else banks > 0,
        recharging_aboard=carrying.recharged_aboard,
        un38_3_tested=bool(carrying.tested_to_un38_3) if by_air else carrying.tested_to_un38_3,
        makes_heat_or_motion=True if brief.all_motors else None,
        is_isolated=found.has_switch_lock,  # what cannot switch on in a bag is off on the way
        is_used=_is_used(brief),
        sent_by_air=carrying.air_mail,
        soc_fraction=carrying.soc_fraction,
    )


def _is_used(brief: Brief) -> bool | None:
    """Whether the pack has done work: any cycle counts, and so does a cell out of an old pack."""
    pack, look = brief.pack or Pack(), (brief.measured or Measured()).condition or Condition()
    if pack.cycles_done or pack.cell_origin in ("used_pack", "scrap"):
        return True
    return False if look.first_charge or pack.cycles_done == 0 else None


def _with_end(found: Situation, brief: Brief) -> Situation:
    end, accident = brief.retirement or Retirement(), brief.incident or Incident()
    late_s = accident.burn_cooled_after_s
    carrying = brief.carrying or Carrying()
    return replace(
        found,
        # whoever writes a brief here builds by hand; only a tested type is no home-made one
        is_reworked=None if carrying.tested_to_un38_3 else True,
        given_to_others=end.given_to_others,
        disposal_route=end.route,
        terminals_taped=end.terminals_taped,
        bath=end.bath,
        is_piercing=end.pierced,
        emergency_sign=accident.smokes_or_hisses,
        has_flame=accident.burns,
        carried_by_hand=accident.carried,
        extinguisher=accident.extinguisher,
        cooled_with_water=accident.cooled_with_water,
        smoke_inhaled=accident.smoke_breathed,
        electrolyte_contact=accident.electrolyte_on,
        has_burn=True if late_s is not None else None,
        minutes_to_cooling=None if late_s is None else late_s / SECONDS_PER_MINUTE,
    )


def _days(seconds: float | None) -> float | None:
    return None if seconds is None else seconds / SECONDS_PER_DAY


def _opposite(said: bool | None) -> bool | None:
    return None if said is None else not said
