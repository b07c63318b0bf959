# The sentences of each paper.

## The checklist
checklist-how = Sit where the child sits. Answer for what is there now, not for how it usually is.
checklist-keep = First: what must stay in reach?
checklist-keep-help = A way of talking, a picture schedule, comfort or fidget things, glasses, hearing aid, ear defenders. These are never counted and never taken away.
checklist-not-seen = If you could not see or hear it, mark “could not see” and say why. That is an answer too.
checklist-why = Why not?
checklist-then = Then type the answers in with
checklist-aim = This measures the room, not the child and not the home. Calm enough for this task is enough.

## The practice sheet
sessions-how = Three circles a try: fill or cross one of them. One box a day; for a second sitting on a day print another sheet.
sessions-tries = Tries
sessions-on = Was the distraction really on?
sessions-upset = Upset?
sessions-came = Came and stayed willingly?
sessions-alone = alone
sessions-helped = with help
sessions-wrong = not right
sessions-stop-title = Stop for the day when
sessions-stop-errors = three tries in a row were not right: end with something easy that works.
sessions-stop-upset = the child is upset or leaves. Leaving is fine; nobody is called back.
sessions-stop-enough = it is enough. A short good sitting beats a long one.
sessions-right = A right answer given while rocking, flapping, humming or looking away is a right answer.
sessions-mark-title = Words that may start a note
sessions-mark-words = baseline (measured, not taught) · probe (tried once) · maintenance (an earlier rung again) · unwell · harm (somebody was hurt: stop, and call the clinician)

## The on-task sheet
sampling-how = Set a timer that gives a gentle signal every { $seconds } seconds. At the signal look up, and mark that moment only: on task, or not. Between the signals nothing is marked.
sampling-on-task = On task means here
sampling-share = Share = on task ÷ moments marked
sampling-bias-title = What this can and cannot show
sampling-bias = Moments miss short things, and err both ways alike. Marking “all through the interval” would make attention look shorter than it was, “at any time in the interval” longer.
sampling-not = Moving, rocking, humming or looking away is not off task if the task goes on.

## Choosing in pairs
pairs-how = Write six things the child may like. Offer two at a time, left and right, in this order. Circle the one the child takes or reaches for. Let the child have it for a moment. Neither: leave both.
pairs-thing = Thing
pairs-offer = Offer
pairs-chosen = Times chosen
pairs-of = of { $count }
pairs-result = Percent = times chosen ÷ times offered × 100. What is chosen in 80 percent or more is a strong reinforcer.
pairs-stop = The child may say no to all of it. Then stop, and try on another day.

## Choosing from all
choices-how = Write five things. Put all of them in a row, an arm's length away. The child takes one: write its place in the row of this round, let the child have it for a moment, then take it away and move the others round. Go on until none is left or wanted.
choices-round = Round { $number }
choices-chosen = Times chosen
choices-offered = Times offered
choices-result = Percent = times chosen ÷ times offered × 100, over the three rounds. A thing still in the row counts as offered.
choices-order = Write 1 for the first taken, 2 for the second, and so on.
assessment-again = Do this again every two to four weeks, and offer a quick choice before each sitting.
assessment-never = Never keep food, rest or comfort things back to make them stronger.

## How to take the photo
photo-step-1 = Sit where the child sits. Hold the phone at the child's eye height, level, upright or across.
photo-step-2 = Daylight or the usual lamp, no flash, not against the window. Screens as they are at learning time.
photo-step-3 = Nobody in the picture. Wipe the lens, hold still.
photo-step-4 = For a second photo: same spot, same way up, same lens, same light.
photo-after = The photo also stays in the phone's gallery and in its backup: delete it there.
photo-private = stillroom reads the photo and forgets it. It measures the picture, never where a child looks.
photo-eye-height = child's eye height
photo-drawing = A drawing: a child's chair at a table, and a phone held level at the height of the child's eyes, facing the table.

## The plan for the fridge
plan-when = When
plan-where = Where
plan-how-many = How many tries
plan-day = Day
plan-done = Done
plan-natural = Small chances through the day
plan-natural-help = While cooking, in the bath, on the way: where could the same skill come up by itself?
plan-before = Before we start
plan-before-1 = Ask the child. “No” is an answer.
plan-before-2 = Ask brothers, sisters and grown-ups who would take part. “No” means we leave it out today.
plan-before-3 = Put within reach what must stay. Ear defenders are always allowed.
plan-before-4 = Let the child choose what it works for.
plan-rung = Now on
plan-stop = We stop when the child is upset or leaves, after three tries in a row that did not work (end with something easy), or when it is enough.
plan-after = After
plan-after-1 = Say what went well, at once. Note the sitting on the practice sheet.
plan-call = Whom we ask when we are unsure
plan-enough = What the family can keep up is enough.

## The screen diary
quiet-hour = Hour
quiet-how = One sign in each box, as it was at the child's place: 0 quiet, 1 some noise, 2 loud. Leave out the hours when nobody was there. One look an hour is enough.
quiet-possible = What is possible
quiet-possible-how = Bedtime, when brothers and sisters come home, cooking, visits: write the times that are taken.
quiet-then = Three days tell little, a week more. An hour that is 0 on most days is worth recording: five minutes louder or quieter can then be told.
screens-what = What
screens-with = Who watched too
screens-again = The same again?
screens-how = One line a time. Video calls with family do not count.
screens-guidance-title = What is recommended (for your information)
screens-who = WHO 2019: none under 2 years; at 2 to 4 years at most one hour a day, less is better.
screens-aap = AAP 2016 (replaced in 2026 by guidance on the whole use of media, not on hours): none but video calls under 18 months; at 18 to 24 months only with an adult; at 2 to 5 years about one hour a day.
screens-tip = Watching together, and a scene the child loves watched again, can be talked and played about.

## The doorstep sheet
doorstep-last = Last decision
doorstep-now = Now on
doorstep-due = What is due
doorstep-look = Look at
doorstep-look-1 = How is the child today? Slept, well, fed? If not, no measuring.
doorstep-look-2 = The seat: what does the child see and hear from there?
doorstep-look-3 = Is what must stay within reach?
doorstep-look-4 = What has changed in the room since the last visit?
doorstep-look-5 = How did practice go? What was hard for the family?
doorstep-measure = Measure
doorstep-measure-1 = Checklist, at the child's seat
doorstep-measure-2 = One minute of sound at learning time, the child elsewhere
doorstep-measure-3 = Two photos from the child's seat, nobody in them
doorstep-leave = Leave with the family
doorstep-leave-1 = One thing to move first
doorstep-leave-2 = The next rung card
doorstep-leave-3 = When we speak again
doorstep-ask = Ask before you photograph or record anything. “No” is fine.
doorstep-nothing = nothing on record

## First, then
schedule-how = Put a picture into each box. The child may move a finished picture to “all done”.
schedule-first = First
schedule-then = Then
schedule-done = All done
schedule-break = Break

## Rung cards
card-on = Already on
card-set-up = New: set this up
card-rotate = Things to take in turn
card-check = Check at the child's chair
card-present = Who may be there
card-up = Up: 9 of 10 alone, calm and willing, in two sittings running on two days.
card-back = Back: two sittings running with half or less alone.

## What the sheets that are read back share
marked-how = Fill or cross with a dark pen. What is wrong is rubbed out. Later a photo of the whole sheet, lying flat, is read.
marked-note = Handwriting is not read.
marked-on = Really on?
marked-came = Willing?
marked-minutes = Minutes (those filled add up)
marked-day = { $day } { $month }
marked-page = Page { $page } of { $of }
marked-version = v{ $version }
sampling-on = on task
sampling-off = not
screens-nobody = alone
screens-adult = adult
screens-child = child

## Doubtful circles enlarged
doubts-title = Doubtful circles
doubts-how = Is it so? The circle is in the middle of the picture. Say yes or no at the terminal, or with the name under the picture.
doubts-none = Nothing on this sheet is doubtful.
