"""Who says so: the documents behind the hazards, each with its date as far as it showed one.

"Copy" means that only a copy of the document could be read. "Undated" means that no date was shown:
check the live page before relying on it as current.
"""

from __future__ import annotations

from typing import Final

__all__ = [
    "AIR_30",
    "BYUN",
    "CAA",
    "CALCE",
    "CALL2RECYCLE",
    "CORONER",
    "CPSC_CHARGING",
    "CPSC_LOOSE_CELLS",
    "CPSC_UNIVERSAL",
    "CREUP",
    "DAMAGED_AIR",
    "DEEP_DISCHARGE",
    "DEVICE_LABEL",
    "DGR_57",
    "DGR_67",
    "DHEC",
    "EPA",
    "FAA_SAFO",
    "FAKE_18650",
    "FENZ",
    "FLASHED",
    "FRNSW_BURNING",
    "FRNSW_CARINGBAH",
    "FRNSW_MEREWETHER",
    "FRNSW_SAFETY",
    "FUSE_SELLER",
    "GIFTINFO",
    "GREENCELL",
    "HOLDERS",
    "IAFC",
    "IATA_2018",
    "ICAO_ADDENDUM",
    "IMCA_25_20",
    "IMCA_HOUSING",
    "LARSSON",
    "LFB",
    "LFB_2023",
    "LG_NOTICE",
    "LIION_WARNING",
    "LUMAFIELD",
    "MARYSVILLE",
    "MATCHING",
    "MEMORY",
    "MSB",
    "NASA_NESC",
    "NBT_BURNS",
    "NFPA",
    "NY_495A",
    "PAL",
    "PARKED_CAR",
    "POST",
    "REGEN_MAKER",
    "RISE",
    "SAMSUNG_29E",
    "SAMSUNG_30Q",
    "SAMSUNG_ICR20",
    "SCOTTSDALE",
    "SDS_DELL",
    "SDS_HARLEY",
    "SEI",
    "STORAGE_NOTE",
    "STORAGE_TABLE",
    "TESTED_TYPE",
    "TOUCH",
    "TSA",
    "TWAICE",
    "UK_GUIDELINES",
    "UL_COPPER",
    "USFA",
    "USFA_SALT",
    "USPS",
    "WEST_YORKSHIRE",
    "WMG",
]


MEMORY: Final = "from memory; no document read"

# Public bodies
CPSC_CHARGING: Final = (
    "US CPSC, statement on charging micromobility batteries, 2025-09-04, cpsc.gov/node/65775"
)
CPSC_LOOSE_CELLS: Final = "US CPSC, release on loose 18650 cells, 2021-01-08"
CPSC_UNIVERSAL: Final = "US CPSC, release on 'universal' chargers, 2024-09-05"
FRNSW_SAFETY: Final = (
    "Fire and Rescue NSW, lithium-ion battery safety, undated, fire.nsw.gov.au/page.php?id=9426"
)
FRNSW_BURNING: Final = (
    "Fire and Rescue NSW, battery smoking or on fire, undated, fire.nsw.gov.au/page.php?id=9394"
)
FRNSW_CARINGBAH: Final = "Fire and Rescue NSW, incident report Caringbah, 2025-02-11"
FRNSW_MEREWETHER: Final = "Fire and Rescue NSW, incident report Merewether, 2023-07-11 (copy)"
FENZ: Final = "Fire and Emergency New Zealand, lithium-ion battery safety, undated"
LFB: Final = "London Fire Brigade, e-scooters and e-bikes, undated (copy)"
LFB_2023: Final = "BBC reporting London Fire Brigade, 2023-03-31"
USFA: Final = "US Fire Administration, battery fire safety (quoting NFPA), undated"
USFA_SALT: Final = "US Fire Administration, salt-water flooded batteries, 2022-10-20"
NFPA: Final = "NFPA lithium-ion tip sheet, as printed 2025-01-30"
IAFC: Final = "IAFC and FSRI, charging advice, undated"
MARYSVILLE: Final = "Marysville Fire District advice, undated"
WEST_YORKSHIRE: Final = "West Yorkshire Fire and Rescue, key messages, undated"
SCOTTSDALE: Final = "Scottsdale Fire Department, updated 2024-06-30"
CORONER: Final = "UK coroner's prevention of future deaths report 2024-0007, 2024-01-04"
UK_GUIDELINES: Final = "UK DBT and OPSS statutory guidelines on e-bike batteries, Dec 2024"
WMG: Final = "WMG research for UK OPSS, 2025-01-29 (through trade press)"
NY_495A: Final = "New York General Business Law 495-a, version 2024-10-11"
EPA: Final = "US EPA, used lithium-ion batteries, 2021-03-25 (copy)"
DHEC: Final = "South Carolina DHEC, battery advice, archived 2023-09-27"
CALL2RECYCLE: Final = "Call2Recycle, damaged and defective batteries, undated"
RISE: Final = "RISE Fire Research, venting from lithium-ion batteries in homes, 2021"
MSB: Final = "Swedish MSB1960 on exposure to Li-ion smoke, Aug 2022"
GIFTINFO: Final = "Norwegian poison information centre on Li-ion fires, 2021"
LARSSON: Final = "Larsson et al., Scientific Reports 7 (2017) 10018"
NBT_BURNS: Final = "North Bristol NHS Trust, first aid for burns, undated"
FAA_SAFO: Final = "US FAA SAFO 25002, reported 2025-09-16"

# Makers, sellers, papers
SAMSUNG_30Q: Final = "Samsung SDI INR18650-30Q specification v1.0, Feb 2015 (copy)"
SAMSUNG_29E: Final = "Samsung SDI INR18650-29E specification v1.0 p.7 (copy)"
SAMSUNG_ICR20: Final = "Samsung SDI ICR18650-20 specification v1.0 (copy)"
LG_NOTICE: Final = "LG 18650 handling notice, undated"
CREUP: Final = "Creup cell instruction sheet, undated"
GREENCELL: Final = "Green Cell Tech cell precautions, undated"
STORAGE_NOTE: Final = "cell maker's storage note, 2018-01-17"
MATCHING: Final = "pack makers' matching limits (Large, Szaspower), undated"
LIION_WARNING: Final = "seller's Li-ion warning sheet (voltsnamps), undated"
FAKE_18650: Final = "sellers' and testers' surveys of 18650 capacity claims, undated"
LUMAFIELD: Final = "Lumafield, CT survey of counterfeit 18650 cells, undated"
FUSE_SELLER: Final = "fuse seller (ECS) on DC interrupt ratings, undated"
NASA_NESC: Final = "NASA NESC Technical Bulletin 09-02, 2009 (copy); NASA Tech Briefs, Dec 2008"
REGEN_MAKER: Final = "motor-controller maker (Silixcon) on braking and over-voltage, undated"
HOLDERS: Final = "picture note on 18650 holders that short the negative rim, undated"
FLASHED: Final = "a builder's account of a strip dropped across groups, 2015-07-18"
UL_COPPER: Final = "UL research note on copper dissolution in over-discharge, undated"
DEEP_DISCHARGE: Final = "encyclopedia wording on deep discharge, copied 2015-07-01"
STORAGE_TABLE: Final = "Battery University storage table and guidelines (copy), undated"
SEI: Final = "Science Advances review on film breakdown from about 90 degC (quoted)"
CALCE: Final = "CALCE, Batteries 11 (2025) 419, 2025-11-14"
TWAICE: Final = "TWAICE encyclopedia, end of life, undated"
BYUN: Final = "Byun et al., RSC Advances, 2017-02-10"
PARKED_CAR: Final = "Arizona State University on parked cars, 2018-05-24"
IMCA_HOUSING: Final = "IMCA, equipment with enclosed rechargeable batteries, undated"
IMCA_25_20: Final = "IMCA Safety Flash 25/20, 2020-08-25"
DEVICE_LABEL: Final = "device maker's warning label text (Blanc Gear), undated"
SDS_DELL: Final = "Li-ion safety data sheet (Dell), section 5"
SDS_HARLEY: Final = "LiveWire service page quoting its battery SDS; Blackfire BTSM1 SDS"

# Transport
DGR_67: Final = "IATA DGR 67th edition passenger rules, reported 2026-03-12"
IATA_2018: Final = "IATA passenger leaflet 2018 (copy)"
TSA: Final = "US TSA, lithium batteries of 100 Wh or less in a device, undated"
ICAO_ADDENDUM: Final = (
    "ICAO Doc 9284 2025-26 Addendum 1, effective 2026-03-27 (training firm's text)"
)
CAA: Final = "UK CAA on the ICAO addendum effective 2026-03-27"
PAL: Final = "GMA News on the ICAO power-bank rule, Mar 2026"
TESTED_TYPE: Final = "ADR 2.2.9.1.7 (2017 text); 'Lithium Batteries 2024' e-book p.35"
DAMAGED_AIR: Final = "'Lithium Batteries 2024' e-book p.144, damaged and defective"
DGR_57: Final = "IATA DGR 57 Addendum I, reported 2016-01-19"
POST: Final = "Royal Mail and Australia Post battery rules, copies of 2015 and undated"
USPS: Final = "USPS interim final rule on Publication 52, 2022-06-06"
AIR_30: Final = "US PHMSA HM-224I 2019-03-06, final 2022-12-21; IATA DGR 67th edition, 2026-01-01"

# Touch
TOUCH: Final = (
    "IEC 62368-1:2018 Table 38, held over 1 min, from memory; 48 degC also in ISO 13732-1 as the "
    "10 min burn threshold, seen second-hand"
)
