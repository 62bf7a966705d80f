"""What the read model is made of: cards, states, the places of lines, steps and sums."""
