"""The mount as a machine: frames, axes, offsets, drift."""
