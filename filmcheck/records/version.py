"""The version of filmcheck, kept here so that no start has to look it up in the installation."""

VERSION = "0.2.0"
