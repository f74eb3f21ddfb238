"""Site: the book, a folder of pages that answers like the library; its script, and the data the script answers from."""
