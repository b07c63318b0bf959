# Microphones.
# The program writes these sentences in English where they arise; here they are named for translation.

devices-this-build-of-stillroom = this build of stillroom cannot record
devices-there-is-no-sound = there is no sound server to record through
devices-the-sound-server-refused = the sound server refused ({ $detail })
devices-there-is-no-microphone = there is no microphone
devices-there-is-no-device = there is no device { $name }
devices-records-channels-at-hz = { $name } records { $channels } channels at { $hz } Hz, which cannot be measured
devices-the-microphone-is-muted = the microphone { $name } is muted: it would record nothing but zeros
devices-build-it-with-the = build it with the feature `microphone`, or record with a telephone and give the file
devices-start-pulseaudio-or-pipewire = start PulseAudio or PipeWire, or record with a telephone and give the file: stillroom sound FILE
devices-try-again-in-a = try again in a moment; if it stays so, record with a telephone and give the file
devices-plug-one-in-and = plug one in and try again, or record with a telephone and give the file: stillroom sound FILE
devices-plug-one-in-and-try = plug one in and try again; what the computer itself plays could be recorded with --device { $a }, but that is not the room
devices-or-device = or --device
devices-stillroom-sound-devices-lists = `stillroom sound --devices` lists the devices there are
devices-set-the-device-to = set the device to 44100 or 48000 Hz in the sound settings of this computer; 4000 to 384000 Hz and up to 32 channels can be measured
devices-switch-it-on-in = switch it on in the sound settings, or at the switch on the device, and record again
devices-the-sound-server-ended = the sound server ended
devices-the-microphone-was-taken = the microphone was taken away
devices-the-microphone-sent-nothing = the microphone sent nothing for { $seconds } seconds
devices-the-microphone-failed = the microphone failed ({ $detail })
devices-it-records-in-the = it records in the form { $other }
devices-a-message-of-bytes = a message of { $length } bytes
devices-the-device-is-gone = the device is gone
devices-no-answer-within-seconds = no answer within { $first-seconds } seconds
devices-it-would-change-the = it would change the rate or the channels of the device
