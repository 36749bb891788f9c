"""Text and SARIF; they know findings, nothing else."""
