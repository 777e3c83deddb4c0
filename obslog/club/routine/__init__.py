"""The club's own routine: steps of a set-up, service tasks, words for conditions, loan terms; what ships, and the file."""
