"""Who changed what and when: one account of a job, read over the logs that the apps keep."""
