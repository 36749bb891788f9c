"""The catalogue of named, dimensioned figures of a job."""
