"""Tasks that fit: levers set for each group of a round, and scoring that levels uneven games."""
