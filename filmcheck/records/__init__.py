"""Frozen records that the steps hand on; they know nothing else."""
