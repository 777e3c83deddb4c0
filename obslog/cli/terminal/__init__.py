"""What every command shares: the screen, its layout, options, and the state it is handed."""
