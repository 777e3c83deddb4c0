"""A club's file in its shortest form: four steps, the last of which is its own."""

OWN_STEP = """
checklist.steps = ["pack", "key-in", "power", "dew-heaters"]
step.dew-heaters = { title = "Unplug the warm bands", do = "Pull both plugs." }
"""
