"""Ground floor: what is to be built. Knows nothing of cost or of the job."""
