"""The texts of reminders, in the club's words, and mail files of them."""
