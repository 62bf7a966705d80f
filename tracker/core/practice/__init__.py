"""The maker's own rules, and what they are made of."""
