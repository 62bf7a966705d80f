"""The checks the gate is made of, by subject: each gives findings and changes nothing."""
