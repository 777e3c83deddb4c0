"""The options that a hint puts behind `mount add NAME` and the like: what its record is of little use without."""

# No "german|fork": a shell takes the bar as a pipe.
MOUNT_OPTIONS = (
    "--type TYPE --controller CONTROLLER; TYPE is german, fork or altaz, CONTROLLER is shift, model or none"
)
SITE_OPTIONS = "--lat DEG --lon DEG --tz ZONE"
TUBE_OPTIONS = "--aperture-mm MM --focal-mm MM"
EYEPIECE_OPTIONS = "--focal-mm MM --field-deg DEG"
