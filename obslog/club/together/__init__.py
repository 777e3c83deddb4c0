"""Several laptops, one club: bundles out and in, what two of them say otherwise, and records that are one."""
