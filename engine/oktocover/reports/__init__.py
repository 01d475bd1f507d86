"""What was found, told to a person or to another program: a module a form; none of them decides anything."""
