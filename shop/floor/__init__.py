"""The work on the vehicle: packages in a lawful order, ticks, hours, the week."""
