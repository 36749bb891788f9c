#!/bin/sh
# The gate: run this from the plant's folder in whatever runs your builds. It needs filmcheck on the PATH.
# Exit status 0: nothing at warning or error; 1: findings; 2: wrong use or a broken rule pack; 3: a fault of filmcheck.
set -u
cd "$(dirname "$0")/.." || exit 2

filmcheck rules prove house-rules || exit

# For a system that shows SARIF 2.1.0 beside the change, upload this file whatever the outcome.
filmcheck lint jobs --format sarif --to jobs.sarif --fail-from never || exit

filmcheck lint jobs
