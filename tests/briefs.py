"""Briefs that several tests start from."""

from __future__ import annotations

LAMP = """\
title = "lamp on a stick"

[pack]
cell = "Samsung SDI INR18650-25R"
series = 1
parallel = 1
[pack.fuse]
kind = "none"

[cavity]
shape = "tube"
bore = "30 mm"
length = "90 mm"

[[loads]]
name = "lamp"
watts = 6
"""
"""Quick to judge; without a fuse it is a stop."""

BENCH = """\
title = "bench replay"
cell_table = "my_cells.csv"          # optional: rows added to the shipped table, same columns
[pack]
cell = "Samsung SDI INR18650-30Q"    # maker + part number; left out: the shortlist chooses
series = 1
parallel = 1
[cavity]
shape = "open"                       # open (free air) | tube | box | mesh
[surroundings]
ambient = "22.8 degC"
heat_loss = "0.07 W/K"               # optional, per cell: replaces the computed cooling
added_thermal_mass = "40 J/K"        # optional, per cell: holder, clamps, wall
[load]
log = "log.csv"                      # time_s, current_a (+ = discharge); relative to the brief
[start]
soc = 1.0
[charger]                            # what the builder owns or plans
current = "1.5 A"                    # at pack level
end_voltage_per_cell = "4.2 V"
end_current = "0.15 A"
balance_current = "60 mA"            # 0: does not balance
"""
"""The bench replay as the design writes it; only the comments are shorter."""
