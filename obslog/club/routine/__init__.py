"""The club's own routine: steps, service tasks, words for conditions and loan terms; what ships, and the file."""
