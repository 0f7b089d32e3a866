"""Custom lithium packs for small motor-driven devices: designed, judged, planned for charging."""

__version__ = "0.1.0"
