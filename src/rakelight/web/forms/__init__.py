"""What is typed into the pages, made into files of the language, and back."""
