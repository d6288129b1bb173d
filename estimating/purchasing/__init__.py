"""What to buy for the jobs ahead: offers, the run that plans, orders, deliveries, cut lists and labels."""
