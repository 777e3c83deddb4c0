"""The words of a loan's form: what keeps the borrower safe, and what both look at, out and in."""

THE_SUN = (
    "I never point the telescope or its finder at or near the Sun without the club's own filter over the whole front.",
    "The finder stays capped or off by day. I never use a filter that screws into an eyepiece: it can crack.",
    "I never leave it uncovered and alone by day, nor children alone with it.",
)
SAFETY = (
    "I lift with a second person whatever I cannot hold safely alone. The counterweights go on before the tube, "
    "and the tube comes off before the counterweights.",
    "I charge batteries on a hard surface, in air, never unattended and never below 0 °C, with the terminals capped "
    "when they are not in use. A swollen, hot or leaking one I leave alone, and tell the club.",
    "I never point a laser at a person, an animal, a vehicle or an aircraft, look before and while it is on, and "
    "keep it from children. A collimation laser never shines toward an eye.",
)
EVERY_TIME = (
    "contents against the list above",
    "finder: battery alive and OFF; aligned",
    "no dents, cracks or loose parts; caps on; focuser in",
)
GO_TO_MOUNTS = (
    "switches on; both axes slew at full speed each way; clutches hold",
    "how much the end of the tube can be rocked",
    "hand controller: display and keys; pins of the cables",
    "power lead: polarity and fuse",
    "counterweights, end stop of the bar, saddle screws, latitude bolts, spreader, hex keys",
    "settings and site reset to the club's values; the last borrower's place deleted",
)
