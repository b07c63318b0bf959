# The sentences of the local page.

page-skip = To the content
page-ways = Places of this page
page-foot = This page runs on this device alone; nothing leaves it. It measures rooms, not children. Local rules and licensed practice come first.
page-refused = That did not work:
page-could-not = That did not work
page-not-found = Not here
page-nothing-here = There is nothing at this address.
page-no-case-title = Open a case first
page-no-case = This needs a case: a folder that keeps what was measured, under an alias.
page-no-file = Choose a file first.
page-still-here = Still here: { $files }. Choose again only to send others.
page-convention = The load is a convention of this tool, not a validated scale.
word-not-asked = not asked yet

way-home = Start
way-room = Room
way-sound = Sound
way-photo = Photo
way-practice = Practice
way-papers = Papers

door-fault = A fault in this program stopped this one page. Nothing that was stored is lost. Go back and try again.
door-method = This page answers only to showing and sending.
door-wrong-host = This page answers only on this computer, at the address that was printed when it started.
door-wrong-origin = This was sent by another page. Nothing was changed.
door-no-key = Open the address with its key, as it was printed when the page started.
door-too-large = This file is too large. Send at most 200 MB.
door-cut-off = The file did not arrive whole. Please send it again.
door-no-form = This was not a form of this page.

home-title = Which case?
home-what = A case keeps what was measured about one child's rooms, under an alias, in a folder on this computer.
home-room = The room
home-practice = Practice
home-papers = Papers
home-papers-help = Checklist, practice sheet, plan for the fridge, reports.
home-load = load { $load } of 100, { $grade }, on { $day }
home-no-audit = Not looked at yet.
home-look = Look at the room
home-no-session = No practice on record yet.
home-ladder = A ladder of { $rungs } rungs, signed by { $by }.
home-ladder-draft = A ladder of { $rungs } rungs. It is a draft until a clinician signs it.
home-no-ladder = No ladder yet.
home-to-practice = To practice
home-left-out = Some files of the case could not be read and were left out:
home-another = Another case
home-open = Open a case
home-folder = Its folder
home-folder-help = As in your file manager, for example /home/you/cases/clover.
home-open-it = Open
home-new = Start a case
home-new-folder = Where it is kept
home-new-folder-help = A new folder. Left empty, it is named after the alias and lies where this page was started.
home-alias = Alias
home-alias-help = A plant or an animal. Never the child's name.
home-sure = It is nobody's name and no date
home-born = Month of birth
home-born-help = Year and month, such as 2022-07; never a day. May be left out.
home-keep-help = One thing a line: a way of talking, a picture schedule, comfort or fidget things, glasses, hearing aid, ear defenders.
home-sound-sensitive = Does any sound make the child cover the ears, cry, freeze or leave?
home-hearing-checked = Has hearing been checked?
home-make-it = Start

room-title = Look at a room
room-kept = A walk through “{ $place }” is not finished yet.
room-go-on = Go on with it
room-which = Which kind of room?
room-place = Place
room-place-help = A few words, such as “window table”. The same words each time.
room-places = Places so far: { $places }
room-place-missing = Give the place a name.
room-by = Who looks?
room-by-help = Mother, father, visitor: never a name.
room-line-each = One thing a line.
room-begin = Begin
room-saved = Each page is kept when you go on.
room-back = Back
room-next = Next
room-to-measure = To photos and sound
room-how-many = How many?
room-less = one less
room-more = one more
room-why = Could not see it? Say why
room-not-an-answer = “{ $typed }” is no answer to this question.
room-no-walk = This walk has not begun, or it is finished. Begin again on the page “Room”.
room-open = { $count ->
    [one] { $count } question has no answer yet. That widens the doubt.
   *[other] { $count } questions have no answer yet. That widens the doubt.
}
room-measure-title = Photos and sound
room-photos = Photos from the child's seat
room-photos-help = At the child's eye height, nobody in the picture. They are read and forgotten.
room-sound = A recording of the room
room-sound-help = A minute at learning time, the child elsewhere. It is read and forgotten.
room-voice = An adult's voice
room-voice-help = By the same device, speaking as usual at the child's chair, with the usual background running. May be left out.
room-minutes = Minutes there are for rearranging
room-finish = What came out?

sound-how = Record a minute of the room at learning time, the child elsewhere, and choose the file here.
sound-file = The recording
sound-offset = Calibration offset in dB
sound-offset-help = From a note about this device. Without it there are no levels in dB, only comparisons.
sound-calibrated = This device was calibrated
sound-voice-alone = A voice alone says nothing of a room. Choose or record the room as well.
sound-child-audible = The child can be heard in it
sound-read = Read it
sound-kept = Nothing of the sound is kept.
sound-again = Another recording
sound-title = What is heard
sound-silent = There is no sound in it at all: a muted microphone is not a quiet room. Record again.
sound-orientation = No standard exists for a learning corner at home. A home is no classroom.

photo-choose = Photos
photo-read = Look at them
photo-title = What the photos show
photo-together = Together: visual busyness { $busyness } of 100, spread { $spread }.
photo-places = The picture is busiest here:
photo-place = { $share } % of the busyness
photo-alt = The photo, small, with outlines around its busiest places
photo-again = Other photos

found-title = What came out
found-line = The load { $load } on a line from 0 to 100, with its doubt
found-change = Load { $before } before, { $after } now; the difference lies between { $low } and { $high }.
found-after = Then the load would be about { $load }; look again to know.
found-most = What carries most

papers-reports = Reports of this case
papers-family = For the family
papers-family-help = One page: one thing to do now, before and now, the next step.
papers-visitor-help = What was measured, when, with what, and what was agreed.
papers-clinician = For the clinician
papers-clinician-help = All figures, intervals, evidence, graphs and the calculation.
papers-sheets = Sheets to print
papers-filled = They carry the words of this case.
papers-blank = They are blank. With a case open they carry its words.

practice-log = Log a sitting
practice-go-on = Go on with the sitting
practice-to-ladder = The ladder
practice-graph = The sessions so far
practice-more = More
practice-paper-help = The same on paper, for a week.
practice-rule = Up after { $sessions } sessions in a row with { $percent } % alone or better, on { $days } days or more.
practice-decided = Decided by { $by } on { $day }:
practice-tomorrow = Tomorrow
practice-smaller = Smaller steps

sitting-title = Log a sitting
sitting-how = Press once after each try. Every try becomes a bead on a thread and is kept at once.
sitting-rung-help = 0 is the cleared room.
sitting-begin = Begin
sitting-nothing = no answer
sitting-stop = Stop for today
sitting-to-end = To the end of the sitting
sitting-undo = Take the last one back
sitting-kept = Every try is kept; this page may be closed.
sitting-so-far = { $given } of { $of } tries: { $alone } alone, { $helped } with help, { $wrong } not right.
sitting-three-wrong = Three tries in a row were not right. End with something easy that works.
sitting-end-title = How was it?
sitting-distress = Was the child upset, then or afterwards?
sitting-missing = Please answer this.
sitting-never-assumed = How the child was is never taken for granted. Nothing was stored yet.
sitting-which = Which one was it?
sitting-more = Task, place, who practised, what for
sitting-by = Who?
sitting-reinforcer = Worked for
sitting-back = Back to the thread
sitting-store = Store this sitting
sitting-stored = The sitting is stored.
sitting-forget = Throw this sitting away
sitting-forget-help = Nothing of it will be stored.
sitting-forget-it = Throw it away

decide-title = For the clinician: decide
decide-help = The rules propose; a clinician decides and answers for it. Parents need nothing here.
decide-by = Who answers for it?
decide-by-help = A role or initials, such as “clinician”.
decide-what = The decision
decide-why = Why?
decide-why-help = Needed where it differs from what the rules propose.
decide-lift = Practice goes on: the pause is lifted
decide-it = Decide
decide-done = The decision is stored.

ladder-title = The ladder
ladder-draft-wait = Do not begin before the clinician who answers for it has read, changed and signed it.
ladder-draft-beside = A newer draft waits to be signed
ladder-never = Never
ladder-today = Today's rung
ladder-cleared = The cleared room, as it is when nothing is added. The task is mastered here first.
ladder-stair = The staircase
ladder-large = Steps that could not be made smaller
ladder-all = All other rungs
ladder-load = Load { $load } of 100, step { $step }
ladder-already = Already on
ladder-set-up = Set up
ladder-else = Else
ladder-check = Check
ladder-rotate = Rotate
ladder-practise = Practise
ladder-minutes = { $minutes } minutes, { $tries } tries
ladder-present = Who is there
ladder-up = Go up
ladder-back = Step back
ladder-stop = Stop for today
ladder-to-meter = Check the level at the chair
ladder-plan = Plan a ladder
ladder-plan-help = From the rooms that were looked at: from the cleared room to the fullest, in small steps. It is a draft until a clinician signs it.
ladder-plan-it = Plan
ladder-signs = Who signs it?
ladder-sign-it = Sign this plan
ladder-signed = The plan is signed. It holds from now on.

stuck-title = When practice is stuck
stuck-help = What to look at, in order, and one or two things to try this week.
stuck-this-week = This week
stuck-looks = What to look at
stuck-open = To be asked
stuck-fine = Seems fine
stuck-look = Look here first
stuck-call = When to call the clinician

sample-title = Watch in intervals
sample-help = A timer that asks at the end of every interval.
sample-how = Choose one thing to look for. At the end of every interval the page asks; answer yes or no. No answer in time counts for nothing.
sample-right = Looking away, rocking or humming at the task is at the task.
sample-what = What to look for
sample-what-help = One thing that is being learnt. Self-stimulation, stillness and eye contact are never sampled.
sample-method = When does it count?
sample-momentary = At the end of the interval
sample-momentary-ask = Right now?
sample-whole = The whole interval
sample-whole-ask = The whole interval?
sample-partial = At any time in it
sample-partial-ask = At any time in the interval?
sample-interval = Seconds of an interval
sample-length = Minutes to watch
sample-chime = A soft sound as well
sample-start = Start
sample-stop = Stop
sample-of = Interval # of #
sample-done = Done. Store it below, or start again.
sample-marks = Marks
sample-marks-help = One sign an interval: y seen, n not seen, - not looked.
sample-store = Store
sample-share = Seen in { $percent } % of { $marked } intervals that were marked; { $missed } were missed.
sample-none = No interval was marked.
sample-stored = It is stored in the case. It never enters a decision.
sample-not-stored = It is not stored.
sample-kept = { $count ->
    [one] One mark of an observation was kept at { $time }. Store it below, begin anew, or throw it away.
   *[other] { $count } marks of an observation were kept at { $time }. Store them below, begin anew, or throw them away.
}
sample-forget = Throw away

meter-title = Live meter
meter-help = Is the sound of a rung as loud as it should be, at the child's chair?
meter-how = Put this device at the child's chair, the child elsewhere. Play the sound and watch the pebble: under the water it is quieter than the target, above the water louder.
meter-safe = Stop the sound at once if anybody is upset, whatever the meter says. Ear defenders are always allowed.
meter-needs-script = The live meter needs script in the browser. A recording can be read as a file instead.
meter-target = Target level in dB
meter-target-help = From the rung's card. It needs the calibration offset. Without one, compare with an adult's voice.
meter-against-voice = Compare with the adult's ordinary voice
meter-listen = Listen
meter-voice = Record the adult's voice
meter-stop = Stop
meter-voice-now = Speak as usual at the child's chair for ten seconds, with the usual background running; then stop.
meter-voice-kept = The voice is the target now.
meter-altered = This browser changes the sound, so levels may be wrong. Switch it off in the settings of browser or system, or use another device:
meter-echo = echo cancellation is on
meter-noise = noise suppression is on
meter-gain = automatic gain is on
meter-denied = The microphone cannot be used. Allow it for this page, or choose a file.
meter-no-sound = No sound comes in yet.
meter-now = Now
meter-below = Quieter than the target of { $target } dB.
meter-at = At the target of { $target } dB.
meter-over = Louder than the target of { $target } dB.
meter-voice-below = Quieter than the adult's voice.
meter-voice-at = As loud as the adult's voice.
meter-voice-over = Louder than the adult's voice.
meter-danger-stop = Far too loud: switch it off before the child comes in.
meter-danger-caution = Too loud for a rung: turn it down.
meter-bars = Octave bands, low to high
meter-record = Record { $seconds } seconds here
meter-enough = That is enough
meter-left = Recording, about # seconds to go.
meter-taken = Recorded. It goes along with this page.

change-title = Before and after
change-too-few = This takes two looks at a room. Look again after you have moved things.
change-before = Before
change-after = After
change-load = load { $load }
change-it = Compare
change-items = What changed most

caseload-title = All cases at a glance
caseload-folder = The folder that holds the cases
caseload-show = Show
caseload-none = There is no case in this folder.
caseload-left-out = { $count ->
    [one] One folder was left out
   *[other] { $count } folders were left out
}
caseload-today = due today
caseload-week = due this week
caseload-fine = nothing due

# Where and when.
calm-title = Where and when
calm-help = the calmest corner and the calmest twenty minutes of the day.
calm-nothing = Nothing to compare yet: look at two corners, or bring recordings of the same hours on three days or more.
calm-corners-how = Corners are compared once each was looked at as a place of its own.
calm-heard = Recordings by the clock
calm-heard-how = Record the same hours on three days at least, better on five, with one device left in one spot. The child's own sounds are no noise: record when the child is elsewhere where you can.
calm-recordings = Recordings
calm-recordings-help = Several at once. The name tells when each began, such as 2026-10-05 15.00.m4a; recorders name them so. Very long ones are better read by the program on a computer.
calm-device = Recorded with
calm-device-help = A word such as phone. Two devices are not compared with each other.
calm-at = When it began
calm-at-help = For one recording whose name does not tell: 2026-10-05 15:00
calm-take-in = Read them
calm-kept = Only loudness figures of every five minutes are kept, nothing of the sound.
calm-possible = What is possible
calm-taken = Times that are taken
calm-taken-help = One a line, with why: 17:00-18:30=cooking
calm-moving = Other places
calm-moving-help = One a line, with the minutes it takes to move there, or no: bedroom=10
calm-learning = We practise at
calm-store = Keep this
# Filled sheets by photo
sheets-title = Filled sheets by photo
sheets-go = Read a filled sheet
sheets-how = Print the practice sheet, the on-task sheet, the screen diary or a checklist from here, fill or cross the circles with a dark pen, and photograph the whole sheet, lying flat.
sheets-choose = Photos of filled sheets
sheets-choose-help = One sheet a photo; several photos are fine. All four corner marks must be in the picture.
sheets-read = Read them
sheets-private = A photo is read on this computer and forgotten; handwriting is not read.
sheets-to-print = Sheets to print
sheets-found = What the sheets say
sheets-by-hand = Handwriting is not read: a note that begins with baseline, probe, maintenance, unwell or harm is yours to add.
sheets-week = A day of its week
sheets-week-help = The sheet does not say its week; such as 2026-11-24.
sheets-again = Other sheets
sheets-store = Store this
sheets-already = The case holds this sheet already; nothing of it is stored again.
sheets-empty = Nothing on it is filled in.
sheets-doubtful = Please say of these ({ $count }): is it so? The circle is in the middle of the picture.
sheets-enlarged = The circle, enlarged, with its neighbours
sheets-filled = yes
sheets-not-filled = no
sheets-stored = { $count ->
    [one] Stored: { $count } record.
   *[other] Stored: { $count } records.
}
sheets-done = Stored
