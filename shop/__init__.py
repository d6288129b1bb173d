"""Top floor: the job's life, and the site itself."""
