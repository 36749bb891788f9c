"""Text to SI and back: the only place for pint."""
