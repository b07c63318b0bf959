# The sentences of the local page.

page-skip = To the content
page-ways = Places of this page
page-foot = This page runs on this computer alone; nothing leaves it. It measures rooms, not children. Local rules and licensed practice come first.
page-refused = That did not work:
page-could-not = That did not work
page-not-found = Not here
page-nothing-here = There is nothing at this address.
page-no-case-title = Open a case first
page-no-case = This needs a case: a folder that keeps what was measured, under an alias.
page-no-file = Choose a file first.
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
home-new-folder = A new folder
home-new-folder-help = It must not be there yet, or be empty.
home-alias = Alias
home-alias-help = A plant or an animal. Never the child's name.
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
