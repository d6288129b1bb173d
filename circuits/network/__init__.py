"""Pure core: the plan as a DC network. Build it, solve it in any switch state, and see what faults do to it."""
