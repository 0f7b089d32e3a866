"""Packs and briefs side by side: what one change does to verdicts, numbers and rank."""
