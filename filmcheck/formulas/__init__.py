"""Pure functions on SI floats, one physical topic a file; imports nothing of ours."""
