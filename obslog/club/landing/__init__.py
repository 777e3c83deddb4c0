"""How mounts land, taken apart: what each cause adds, before and after, and what the next night will bring."""
