"""Play: round robins, courts and duty, 2v2 rotations, stations, scores and standings."""
