"""What is typed to have each command answer with --json, a command a line."""

# Typed in this order on the evening of OUTSIDE; a word that begins with @ is a file of the test's own.
STORY = """
start
site list
site show "Mill Field"
site add Dune --lat 50 --lon 1 --tz Europe/London
site edit Dune --note sandy
site retire Dune
member list --officer
member list
member show Ines
member add Tomasz
member edit Tomasz --note new
member contact Ines --email ines@example.org
member me Ines
member tell Ines
member leavers
member add Tomas
member same Tomasz Tomas --yes
member retire Tomasz
mount list
mount show Heron
mount add Otter --type altaz --controller model
mount edit Otter --note new
mount add Oter --type altaz --controller model
same Otter Oter --yes
mount retire Otter
tube list
tube show "Long tube"
tube add Stub --aperture-mm 77 --focal-mm 489
tube edit Stub --note short
tube retire Stub
eyepiece list
eyepiece show "Wide 25"
eyepiece add Deep --focal-mm 6 --field-deg 82
eyepiece edit Deep --note new
eyepiece retire Deep
item list
item show "Lead battery"
item add Lamp --category lamp
item edit Lamp --note red
item retire Lamp
sync Vega 1E 1N --at 21:39
check Procyon 3E 4N
goto Regulus in
saw M "81" --note "oval glow"
edit 1 --note windy
undo
redo
setup show Heron
setup edit --note windy
setup flip west
snag add power "plug came loose"
snag list
snag fix "@snag" "tied down"
observation add M "31"
observation list
observation show 1
observation edit 1 --note "brighter than thought"
find plug
progress messier --member Ines
night note --sky "antoniadi 2"
night list
night show
pointing now
setup end
setup start Heron
night end
night edit --night 2026-03-02 --to-date 2026-03-01
night edit --night 2026-03-01 --to-date 2026-03-02
pointing fit Heron
pointing trend Heron
pointing trend Heron --mechanics
pointing compare
pointing stars Heron --tube "Long tube" --site "Mill Field"
pointing run-plan Heron --site "Mill Field"
pointing drift "Procyon 21:40 10 2.5N" --site "Mill Field"
pointing mistakes --site "Mill Field" --star Capella --east 15 --north 0
checklist Heron --site "Mill Field"
brief --site "Mill Field"
optics "Long tube" "Wide 25"
targets --site "Mill Field" --most 3
sky where Vega --site "Mill Field"
sky when M "31" --site "Mill Field"
sky sun-moon --site "Mill Field"
sky pole --site "Mill Field"
sky find Vega
scales
scales antoniadi
words cone
look
review
review Heron
store list
store show "Lead battery"
store note "Lead battery" --tag B-01
store photo "Lead battery" "@photo"
store missing "Lead battery"
store found "Lead battery"
store receipt "Lead battery" @photo
store note "Lead battery" --acquired gift --acquired-on 2026-01-05
officer thanks "Lead battery" --to Wilma
officer insurance --out @insured --officer
officer wanted --out @wanted
store write-off "Lead battery" --why worn
store reinstate "Lead battery"
service add Heron "worm cleaned" --mechanical
service list
service due
service orders
service routine
service battery "Lead battery" --rest-volts 12.6
kit add "Red kit" --part Heron --part "dust cap"
kit edit "Red kit" --note new
kit put "Red kit" "Lead battery"
kit replace "Red kit" "dust cap" "lens cap"
kit missing "Red kit" "lens cap"
kit found "Red kit" "lens cap"
kit remove "Red kit" "Lead battery"
kit show "Red kit"
kit list
loan out "Red kit" "Ines"
loan list
loan list --officer
loan show "Red kit"
loan renew "Red kit"
loan called "Red kit" will bring it on Thursday
loan escalate --officer --to officer@example.org --into @mails
loan fault "Red kit" slips --part Heron
sheet loan "Red kit" --out @sheet3
loan reserve "Red kit" "Bram Ostler"
loan waiting
loan withdraw "Red kit" "Bram Ostler"
loan hand-over "Red kit" "Bram Ostler"
loan back "Red kit"
loan remind
loan remind --officer
loan advise Ines
kit retire "Red kit"
stocktake start
stocktake saw B-01
stocktake show
page stocktake --out "@page1"
stocktake finish --sure
stocktake past
stocktake losses
label "Lead battery" --out "@labels"
rule list
rule routine
rule write @routine
rule look @routine
rule load @routine
history
rule set loan-days 20
rule reset loan-days
officer report
officer health
officer handover
db where
db check
db move --to @moved
sheet night --site "Mill Field" --out "@sheet1"
sheet checklist Heron --site "Mill Field" --out "@sheet2"
sheet stocktake --out "@sheet4"
sheet pointing-run Heron --site "Mill Field" --out "@sheet5"
page mount Heron --out "@page2"
page night 2026-03-02 --out "@page3"
page store --out "@page4"
page member Ines --out "@page5"
page club --out "@page6"
page all --out "@pages"
export members
export members --officer
export items
export kits
export loans --officer
export services
export arrivals
export observations
export observations @log
import observations --columns
db backup @backup
db restore @backup --look
bundle write @bundle
merge @bundle
conflicts
export all "@sheets"
import members --columns
import items --blank "@items"
import items "@items" --look
import kits --columns
import loans --columns
import services --columns
db restore @backup --yes
""".strip().splitlines()

DEMO = """
at 2026-11-01T12:00
demo --into @demo --until 2026-10-31
use @demo
night list
night show
observation list
snag list --all
member list --officer
pointing fit Bramble
pointing trend Bramble --mechanics
pointing whose
pointing compare Bramble "Silver Heron"
pointing budget Bramble
review
review Bramble
checklist Bramble
brief
loan list --all --officer
loan advise
service due
service orders
store list
kit list
officer report
officer health
officer handover
export items
export kits
""".strip().splitlines()
