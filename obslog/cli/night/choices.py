"""Which night and which set-up a command is about: the open one or the newest, unless another is named."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from obslog.cli.terminal.options import NightOption, SetupOption, SiteOption

if TYPE_CHECKING:
    from obslog.club.night.open_night import NightChoice, SetupChoice


@dataclass(frozen=True, slots=True, kw_only=True)
class WhichNight:
    site: SiteOption = None
    night: NightOption = None

    def choice(self) -> "NightChoice":
        from obslog.club.night.open_night import NightChoice

        return NightChoice(self.site, self.night)


@dataclass(frozen=True, slots=True, kw_only=True)
class WhichSetup:
    site: SiteOption = None
    night: NightOption = None
    setup: SetupOption = None

    def choice(self, mount: str | None) -> "SetupChoice":
        from obslog.club.night.open_night import SetupChoice

        return SetupChoice(mount, self.site, self.night, self.setup)
