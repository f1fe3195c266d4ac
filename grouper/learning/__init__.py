"""Ratings that learn: what games, tasks and tests say about abilities, always as a suggestion to the teacher."""
