"""The repository of a plant: settings, registers and job sheets, and the resolving of names."""
