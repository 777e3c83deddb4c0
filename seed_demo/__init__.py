"""The invented club, made from a written-down truth. Nothing here comes from a real club."""
