"""First floor: what it costs. Knows the plan, not the job."""
