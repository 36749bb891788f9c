"""The set-up card: what the crew sets, looks at and writes down at the press, as a record and in three forms."""
