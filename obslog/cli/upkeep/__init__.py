"""Commands for services, batteries and what is due."""
