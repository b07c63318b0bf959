# The sentences of the page that is carried in one file.

carry-working = One moment …
carry-first = What you enter is kept in this browser on this phone and nowhere else. Use an ordinary window: a private window forgets everything when it closes. Hand the records over now and then.
carry-no-storage = Nothing can be kept here: this browser lends this file no storage. You can try everything, but all of it is gone when the page closes. Open the file in an ordinary window of another browser to keep it.
carry-private = This looks like a private window: everything you enter here is gone when it closes. Open the file in an ordinary window to keep it.
carry-not-kept = This was not kept, so it does not count as done: the storage of this browser or phone may be full. Nothing that was kept before is lost. Make room, or hand the records over; then send it again.
carry-fault = A fault in this program stopped this one page. Nothing that was kept is lost. Go back and try again.
carry-other-child = This file carries the records of another child than those kept here. Nothing was mixed; open it in another browser.
carry-take-photo = Take a photo now
carry-take-sound = Record with the phone's own recorder

hand-over-title = Hand the records over
hand-over-help = Puts everything kept here into one file for the clinician.
hand-over-how = All records go into one file: what was looked at, the sittings, the decisions. No photo and no sound is in it. Send it to the clinician or keep it as a copy.
hand-over-passphrase = Passphrase
hand-over-passphrase-help = Four words or more. With it the file is sealed; tell it to the clinician by another way. Left empty, anybody who has the file can read it.
hand-over-make = Make the file
hand-over-only-here = The records are kept in this browser alone. If its data are cleared, they are gone; this file is the copy.
hand-over-made = { $records ->
    [one] The file is ready: { $records } record, { $kilobytes } kB.
   *[other] The file is ready: { $records } records, { $kilobytes } kB.
}
hand-over-open = It is not sealed: anybody who has it can read it. There is no name in it, only the alias.
hand-over-short = This passphrase is short: four words or more that belong together for nobody else are far harder to guess.
hand-over-save = Save or send it
hand-over-then = The clinician takes it in with:
hand-over-stays = The records stay here too.
