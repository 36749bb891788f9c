"""filmcheck reads job sheets for thin film liner as static analysis reads code."""
