"""What a keeper does and asks: verbs that write, questions that read."""
