"""Typed conditions, three-valued verdicts, findings; permits, and what lies between the sheets of a plant."""
