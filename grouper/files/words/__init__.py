"""Words of several languages for columns and values (common usage, no source)."""
