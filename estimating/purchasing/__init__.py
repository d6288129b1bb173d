"""What to buy for the jobs ahead: suppliers and offers, the run that plans, orders, deliveries, cut lists and labels."""
