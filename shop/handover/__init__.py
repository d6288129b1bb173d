"""Release and handover: may the vehicle leave, and the papers that leave with it."""
