"""Papers set as PDF: one template each, the words handed over as data and never as markup."""
