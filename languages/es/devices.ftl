# Micrófonos.

devices-this-build-of-stillroom = esta versión de stillroom no puede grabar
devices-there-is-no-sound = no hay servidor de sonido con el que grabar
devices-the-sound-server-refused = el servidor de sonido se negó ({ $detail })
devices-there-is-no-microphone = no hay ningún micrófono
devices-there-is-no-device = no hay ningún dispositivo { $name }
devices-records-channels-at-hz = { $name } graba { $channels } canales a { $hz } Hz, que no se pueden medir
devices-the-microphone-is-muted = el micrófono { $name } está silenciado: no grabaría más que ceros
devices-build-it-with-the = constrúyalo con la opción `microphone`, o grabe con un teléfono y dé el archivo
devices-start-pulseaudio-or-pipewire = inicie PulseAudio o PipeWire, o grabe con un teléfono y dé el archivo: stillroom sound FILE
devices-try-again-in-a = inténtelo otra vez dentro de un momento; si sigue así, grabe con un teléfono y dé el archivo
devices-plug-one-in-and = conecte uno e inténtelo otra vez, o grabe con un teléfono y dé el archivo: stillroom sound FILE
devices-plug-one-in-and-try = conecte uno e inténtelo otra vez; lo que suena en el propio ordenador se podría grabar con --device { $a }, pero eso no es el cuarto
devices-or-device = o --device
devices-stillroom-sound-devices-lists = `stillroom sound --devices` nombra los dispositivos que hay
devices-set-the-device-to = ponga el dispositivo a 44100 o 48000 Hz en los ajustes de sonido de este ordenador; se pueden medir de 4000 a 384000 Hz y hasta 32 canales
devices-switch-it-on-in = enciéndalo en los ajustes de sonido, o con el interruptor del aparato, y grabe de nuevo
devices-the-sound-server-ended = el servidor de sonido terminó
devices-the-microphone-was-taken = se quitó el micrófono
devices-the-microphone-sent-nothing = el micrófono no envió nada durante { $seconds } segundos
devices-the-microphone-failed = el micrófono falló ({ $detail })
devices-it-records-in-the = graba en la forma { $other }
devices-a-message-of-bytes = un mensaje de { $length } bytes
devices-the-device-is-gone = el dispositivo ya no está
devices-no-answer-within-seconds = ninguna respuesta en { $first-seconds } segundos
devices-it-would-change-the = cambiaría la frecuencia o los canales del dispositivo
