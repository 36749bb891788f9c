"""The web walked station by station."""
