"""Customer links: an address by which a customer reads and accepts a quote and fetches papers, and nothing else."""
