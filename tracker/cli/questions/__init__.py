"""What each verb asks at a terminal, as data, and the walk through it."""
