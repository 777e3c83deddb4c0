"""Services, batteries, the maintenance schedule, and what is due."""
