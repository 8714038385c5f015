"""Which finish, by which date: what can be had, what each costs, and what a change of mind does."""
