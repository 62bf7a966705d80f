"""What people write for a pour: amount, strength with its basis, and what it is."""
