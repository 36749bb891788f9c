"""YAML text to a tree in which every key and value keeps its span, and the schema check."""
