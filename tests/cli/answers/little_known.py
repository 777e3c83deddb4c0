"""What is typed into a database with nothing in it, so that most of what may be null in an answer is null."""

LITTLE_KNOWN = """
start
db backup @backup
db restore @backup --look
use @nothing
db restore @backup --look
use @lean
member me
set OBSLOG_PAGER cat
look
page club --out @page0
member list
stocktake start
stocktake finish --sure
stocktake losses
db check
mount add Dob --type altaz --controller shift
site add Fen --lat 52.2 --lon 0.12 --tz Europe/London
targets --site Fen --most 5
brief --site Fen
page store --out @page1
import arrivals @arrivals --create
history @act --most 50
import items @things
import members @people
site list
mount list
tube list
eyepiece list
export items
export items --officer
start
store show Pipe
service routine Crate
site add Northern --lat 69.6 --lon 18.9 --tz Europe/Oslo
sky find Jupiter
sky where Jupiter --site Fen
sky where Porrima --site Fen
sky when M "31" --site Northern --at 2026-06-20
sky when Canopus --site Fen
sky sun-moon --site Northern --at 2026-06-20
tube edit Pipe --aperture-mm 100 --focal-mm 500
eyepiece edit Lens --focal-mm 10
optics Pipe Lens
brief --site Fen
page mount Crate --out @page2
page mount Dob --out @page2
snag add finder "it fell" --site Nowhere
night start Fen
setup start Crate --tube none --eyepiece none --observer none
sync Vega
saw M "31"
observation edit 1 --note faint
observation show 1
checklist Crate --site Fen --tick level
checklist Crate --site Fen
snag add finder "it fell"
night note --night 2026-02-01 --sky "sky-meter 21"
night show
page night 2026-02-01 --out @page4
setup start Crate --tube Pipe --eyepiece none --observer none
saw M "81"
observation edit 2 --eyepiece Lens
observation edit 2 --eyepiece none
observation show 2
setup end
night end
site edit Nowhere --lat 52 --lon 0 --tz Europe/London
targets --site Nowhere --most 5
eyepiece edit Lens --field-deg 50
targets --site Nowhere --most 5 --mount Lost --tube Pipe --eyepiece Lens
targets --site Nowhere --most 5 --mount True --tube Pipe --eyepiece Lens
export observations
export arrivals
mount edit Crate --type german --controller shift
pointing fit Crate
pointing trend Crate --mechanics
mount edit One --type german --controller shift
pointing budget One
pointing stars One --site Fen
pointing compare Crate --before 2026-02-02
pointing whose
page mount Crate --out @page2
page store --out @page5
page club --out @page6
page member Ada --out @page7
store show Lens
item edit Lump --category battery
service battery Lump --capacity-percent 90
service routine Lump
service add Crate "oiled"
find oiled
store note Pipe --acquired gift
officer thanks Pipe
kit add Bag --part Lump
kit add Sack --part strap
kit remove Sack strap
export kits
kit retire Sack
loan out Bag Ada
loan reserve Bag Ben
export loans --officer
loan remind --officer --into @mails
stocktake start
stocktake saw Unheard
stocktake saw Lens --place shed
stocktake show
stocktake finish --sure
stocktake losses
page stocktake --out @page8
tube retire Pipe
stocktake start
stocktake finish --sure
page stocktake --out @page9
at 2026-06-02T21:40
loan remind --officer
loan called Bag
loan remind --officer --into @mails
loan remind
loan escalate --officer
loan escalate --officer --to officer@example.org --into @mails
loan back Bag
loan remind
item retire Lump
store note Lens --acquired-on 2026-01-05
officer report
store found Lens
site edit Fen --note low
undo
history @act
store photo Lens --check @photo
store receipt Lens --check @photo
store write-off Lens --why lost
history
rule set depreciation-years 10
import items @bought
officer insurance --out @insured --officer
officer wanted --out @wanted
label Found --out @labels
sheet night --out @page11
rule look @own
rule look @wrong
rule load @own
rule routine
import items @odd
member leave Ben --look
""".strip().splitlines()
"""Of a database with nothing in it, in which as little as can be is written down: most of what may be null is null."""

FILES = {
    "arrivals.csv": """\
night,site,mount,setup,utc,role,target,offset_east_arcmin,offset_north_arcmin,landing
2025-02-01,Nowhere,Crate,1,2025-02-01T21:30:00Z,sync,Vega,,,
2026-02-01,Nowhere,Crate,1,2026-02-01T21:30:00Z,sync,Vega,,,
2026-02-01,Nowhere,Crate,1,2026-02-01T21:40:00Z,check,Deneb,3,-2,
2026-02-02,Nowhere,Crate,1,2026-02-02T21:30:00Z,sync,Vega,,,
2026-02-02,Nowhere,Crate,1,2026-02-02T21:40:00Z,check,Deneb,1,1,
2026-02-03,Nowhere,Crate,1,2026-02-03T21:30:00Z,sync,Vega,,,
2026-02-03,Nowhere,Crate,1,2026-02-03T21:40:00Z,check,Deneb,2,4,
2026-02-01,Nowhere,Pair,1,2026-02-01T21:30:00Z,sync,Vega,,,
2026-02-01,Nowhere,Pair,1,2026-02-01T21:40:00Z,check,Deneb,9,-7,
2026-02-01,Nowhere,Pair,1,2026-02-01T21:41:00Z,check,Deneb,9,-7,
2026-02-02,Nowhere,Pair,1,2026-02-02T21:30:00Z,sync,Vega,,,
2026-02-02,Nowhere,Pair,1,2026-02-02T21:40:00Z,check,Deneb,8,3,
2026-02-02,Nowhere,Pair,1,2026-02-02T21:41:00Z,check,Deneb,8,3,
2026-02-03,Nowhere,Pair,1,2026-02-03T21:30:00Z,sync,Vega,,,
2026-02-03,Nowhere,Pair,1,2026-02-03T21:40:00Z,check,Deneb,5,6,
2026-02-03,Nowhere,Pair,1,2026-02-03T21:41:00Z,check,Deneb,5,6,
2026-02-01,Nowhere,One,1,2026-02-01T21:30:00Z,sync,Vega,,,
2026-02-01,Nowhere,One,1,2026-02-01T21:40:00Z,check,Deneb,4,1,
2026-02-01,Nowhere,Lost,1,2026-02-01T21:30:00Z,sync,Vega,,,
2026-02-01,Nowhere,Lost,1,2026-02-01T21:40:00Z,check,Deneb,,,lost
2026-02-01,Nowhere,True,1,2026-02-01T21:30:00Z,sync,Vega,,,
2026-02-01,Nowhere,True,1,2026-02-01T21:40:00Z,check,Deneb,0,0,
""",
    "things.csv": """\
name,kind,value
Pipe,tube,10
Lens,eyepiece,
Lump,item,
""",
    "people.csv": """\
name
Ada
Ben
""",
    "bought.csv": """\
name,kind,category,tag,cost,acquired_on
Found,item,box,F-1,100,2026-01-05
""",
    "odd.csv": """\
name,kind,zzz
Odd,item,1
""",
    "own.toml": """\
[checklist]
steps = ["level", "polar-axis", "sync-stars", "finish", "ours"]

[step.ours]
title = "Ours"
do = "What we do."
tolerance = "done"
why = "It is ours."
""",
    "wrong.toml": """\
[checklist]
steps = [
""",
}
"""Files for that story, by their names."""
