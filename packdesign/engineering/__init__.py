"""Numbers in, numbers out: demand, geometry, electrical, thermal, discharge, charging, ageing.

Discharge current is positive everywhere, charge current negative. SI units inside; temperatures are
in degrees Celsius where the name ends in ``_degc`` and in kelvin where it ends in ``_k``.
"""
