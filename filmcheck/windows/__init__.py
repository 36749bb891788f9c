"""What somebody can set on a job, and the values of it for which the job has no fault."""
