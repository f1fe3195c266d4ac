"""The local page: what a teacher holds in the gym, served from this machine to this machine."""
