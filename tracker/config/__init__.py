"""What people write in practice.toml."""
