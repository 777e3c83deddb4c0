"""Bundles: what one laptop's log of acts holds, as a file for others. Bytes and records only, no database."""
