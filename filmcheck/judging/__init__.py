"""Rule packs, typed conditions, three-valued verdicts, findings."""
