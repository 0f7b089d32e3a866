"""Ageing: what time, heat, charge, cycles and current take from a cell, as published."""
