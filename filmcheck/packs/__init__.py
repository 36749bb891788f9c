"""Rule packs in YAML: read, checked, kept ready, and told in words."""
