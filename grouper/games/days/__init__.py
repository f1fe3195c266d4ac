"""Play in a class: games and stations of an activity, kept in the record, carried on, scored and added up."""
