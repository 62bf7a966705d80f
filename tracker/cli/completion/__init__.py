"""What a shell offers where Tab is pressed: verbs, options, codes and names of plants."""
