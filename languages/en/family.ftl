# The family's page and the visitor's page.

## The family's page
family-title = Your corner
family-one = One thing to do now
family-room = How the room has changed
family-room-now = How the room is
family-before = Before, { $day }
family-now = Now, { $day }
family-calmer = The room is calmer than before.
family-busier = The room is busier than before.
family-same = No clear change. That can happen; it is worth looking again.
family-only = This is how the room is now. After you have moved things, look again.
family-sketch = A drawing: the things you counted on the table, the floor and the wall, before and now.
family-sketch-help = Each small shape is a thing that you counted there.
family-sketch-more = and { $count } more
family-next = The next step in practice
family-rung = Set this up: { $set-up }
family-rung-again = Stay with this step: { $set-up }
family-cleared = Practise in the cleared room first.
family-no-plan = There is no ladder yet. Your clinician makes it with you.
family-done = You have reached the top of the ladder. Your clinician says what comes next.
family-pause = Please stop practising for now. Call your clinician before you go on. The child comes first.
family-move = { $remedy }
family-move-minutes = { $minutes ->
    [one] It takes about { $minutes } minute.
   *[other] It takes about { $minutes } minutes.
}
family-elsewhere-both = Practise at { $place }, at { $time }: it is calmer there and then.
family-elsewhere-place = Practise at { $place }: it is calmer there.
family-elsewhere-time = Practise at { $time }: the home is calmer then.
family-move-none = Nothing needs to be moved now. Calm enough is enough.
family-break = Make the step smaller before you go on. Your clinician will help.
family-stays = Always leave within reach: { $things }.
family-stays-unknown = Always leave within reach: a way to talk, picture schedules, comfort things, glasses, hearing aids, ear defenders.
family-stop = Stop when the child is upset or walks off. Walking off is fine.
family-errors = Did three tries in a row not work? End with something easy.
family-right = Rocking, flapping or humming is fine. A right answer is a right answer.
family-praise = Be glad at once when it works.
family-ask = Ask your child first. Ask brothers and sisters too. “No” is an answer.
family-aim = This page is about the room, not about your child. The room need not be perfect. Calm enough for this task is enough.
family-who = Made on { $day } for { $alias }.

## The visitor's page
visitor-title = Summary of the visit
visitor-what = What was measured
visitor-how = How
visitor-found = What came out
visitor-list = Checklist { $list }
visitor-list-answered = { $answered } of { $all } questions answered, by { $by }
visitor-list-open = Not answered: { $things }. These widen the doubt and are not counted as nothing.
visitor-sound = Recording
visitor-sound-none = no recording
visitor-sound-how = { $seconds } seconds, { $calibration }
visitor-calibrated = calibrated (doubt { $sd } dB)
visitor-uncalibrated = not calibrated: no level in dB, only comparisons
visitor-level = LAeq { $level } { $unit }, LA90 { $background } { $unit }
visitor-margin = The voice is { $margin } dB above the background; 15 dB and more is wanted.
visitor-photo = Photo { $number }
visitor-photo-none = no photo
visitor-photo-how = { $width } × { $height } points
visitor-busyness = visual busyness { $busyness } of 100, standard deviation { $sd }
visitor-load = Distraction load { $load } of 100 ({ $grade }), 90 % interval { $low } to { $high }. The load is a convention of this tool, not a validated scale.
visitor-first = What to move first
visitor-first-help = The best use of { $minutes } minutes.
visitor-differ = What does not agree
visitor-mind = What to mind
visitor-keep = What stays in reach
visitor-keep-none = Not asked. Ask first, next time.
visitor-agreed = Agreed with the family
visitor-next-visit = We speak again on
visitor-left = Left with the family
visitor-left-1 = the one thing to move first
visitor-left-2 = the practice sheet
visitor-left-3 = the next rung card
visitor-nothing = Nothing.
grade-still = still
grade-gentle = gentle
grade-lively = lively
grade-full = full
