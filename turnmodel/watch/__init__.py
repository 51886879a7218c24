"""A page that follows a script as it is written, served to this machine only."""
