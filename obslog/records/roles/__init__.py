"""Who may do what on a server, guarded by the server itself."""
