"""What the literature says: formulae with unit, limits, error and source."""
