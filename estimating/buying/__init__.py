"""Pure core: what to buy, where, how much, and which cut comes from which roll, at the least total cost."""
