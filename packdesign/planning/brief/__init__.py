"""The brief: what a builder needs and knows, as a TOML file with units.

:mod:`~packdesign.planning.brief.schema` holds the whole; the modules named after sections hold
their keys; ``load`` and ``dump`` read and write it.
"""
