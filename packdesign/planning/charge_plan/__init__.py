"""The charge plan: go or no-go, settings card, supply, balance, intake of measured cells."""
