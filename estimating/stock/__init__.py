"""What the shop has: counted parts by bin, rolls and offcuts as single lengths, every movement a record."""
