"""The page: the plant at a glance and job by job, one HTML file that loads nothing and runs nothing."""
