"""Charging: CC-CV, temperature zones, balancing, supplies, intake of cells before they are joined.

Charge currents are given here as positive magnitudes and named so (``charge_a``); the simulation in
:mod:`packdesign.engineering.charging.cc_cv` turns them into the negative currents of the engines.
"""
