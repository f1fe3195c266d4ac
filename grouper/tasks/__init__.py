"""Tasks that fit: steps of a ladder for each group, and scoring that levels uneven games."""
