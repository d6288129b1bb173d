"""From what is seen at the vehicle back to what is wrong, and on to the next test worth its minutes."""
