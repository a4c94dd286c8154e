"""The parts that pages are made of: ruled lines, forms, windows, marks, chains."""
