"""From a builder's need to a judged pack: brief, verdicts, hazards, gauge, charge plan, upkeep."""
