"""One file for each group of things the book keeps."""
