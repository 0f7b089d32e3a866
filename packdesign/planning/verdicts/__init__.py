"""One check, one verdict: value, limit, margin, status, reason, fix, basis, source."""
