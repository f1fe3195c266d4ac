"""The screens of the page, a module for each: its addresses, what it shows, and the verbs that it calls."""
