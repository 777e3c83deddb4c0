"""What to look at: targets of the night, lists, programmes, and views through eyepieces."""
