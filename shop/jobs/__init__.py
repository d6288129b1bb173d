"""Django app: customers, vehicles and jobs; a job points at its plan and its quote."""
