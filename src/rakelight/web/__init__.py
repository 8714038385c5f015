"""The pages and the plain-data interface, served by the maker's own computer. Imported by nothing but `serve`."""
