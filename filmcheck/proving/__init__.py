"""Rules against their proofs: each condition altered, each case tried on a sheet."""
