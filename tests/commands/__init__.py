"""The commands of planning and observing, run as a person types them."""
