"""Time zones to draw from: all, and more often those that once left out or repeated a day, or lie odd minutes off."""

from zoneinfo import ZoneInfo, available_timezones

from hypothesis import strategies as st

ODD_ZONES = ["Pacific/Apia", "Asia/Kathmandu", "America/St_Johns", "Australia/Lord_Howe", "Pacific/Kwajalein"]
ZONES = st.sampled_from(ODD_ZONES + sorted(available_timezones())).map(ZoneInfo)
