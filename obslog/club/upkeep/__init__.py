"""Services, batteries, the routine, and what is due."""
