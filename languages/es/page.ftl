# Las frases de la página local.

page-skip = Al contenido
page-ways = Lugares de esta página
page-foot = Esta página funciona solo en este aparato; nada sale de él. Mide cuartos, no niños. Las normas locales y la práctica profesional van primero.
page-refused = No ha funcionado:
page-could-not = No ha funcionado
page-not-found = Aquí no
page-nothing-here = No hay nada en esta dirección.
page-no-case-title = Abra antes un caso
page-no-case = Para esto hace falta un caso: una carpeta que guarda lo medido, bajo un apodo.
page-no-file = Elija antes un archivo.
page-still-here = Sigue aquí: { $files }. Elija de nuevo solo para enviar otros.
page-convention = La carga es una convención de esta herramienta, no una escala validada.
word-not-asked = aún no preguntado

way-home = Inicio
way-room = Cuarto
way-sound = Sonido
way-photo = Foto
way-practice = Práctica
way-papers = Hojas

door-fault = Un fallo de este programa ha parado esta página. No se pierde nada de lo guardado. Vuelva atrás e inténtelo de nuevo.
door-method = Esta página solo responde a mostrar y enviar.
door-wrong-host = Esta página solo responde en este ordenador, en la dirección que se imprimió al empezar.
door-wrong-origin = Esto lo envió otra página. No se cambió nada.
door-no-key = Abra la dirección con su clave, tal como se imprimió al empezar.
door-too-large = Este archivo es demasiado grande. Envíe como mucho 200 MB.
door-cut-off = El archivo no llegó entero. Envíelo de nuevo.
door-no-form = Esto no era un formulario de esta página.

home-title = ¿Qué caso?
home-what = Un caso guarda lo medido en los espacios de un niño, con un alias, en una carpeta de este ordenador.
home-room = El cuarto
home-practice = Práctica
home-papers = Hojas
home-papers-help = Lista de preguntas, hoja de práctica, plan para la nevera, informes.
home-load = carga { $load } de 100, { $grade }, el { $day }
home-no-audit = Aún no se ha mirado.
home-look = Mirar el cuarto
home-no-session = Aún no hay práctica anotada.
home-ladder = Una escalera de { $rungs } peldaños, firmada por { $by }.
home-ladder-draft = Una escalera de { $rungs } peldaños. Es un borrador hasta que la firme un profesional.
home-no-ladder = Aún no hay escalera.
home-to-practice = A la práctica
home-left-out = Algunos archivos del caso no se pudieron leer y se dejaron fuera:
home-another = Otro caso
home-open = Abrir un caso
home-folder = Su carpeta
home-folder-help = Como en su gestor de archivos, por ejemplo /home/usted/casos/trebol.
home-open-it = Abrir
home-new = Empezar un caso
home-new-folder = Dónde se guarda
home-new-folder-help = Una carpeta nueva. Si se deja vacío, lleva el nombre del alias y queda donde se inició esta página.
home-alias = Apodo
home-alias-help = Una planta o un animal. Nunca el nombre del niño.
home-sure = No es el nombre de nadie ni una fecha
home-born = Mes de nacimiento
home-born-help = Año y mes, como 2022-07; nunca el día. Puede dejarse vacío.
home-keep-help = Una cosa por línea: una forma de comunicarse, una agenda de imágenes, objetos de consuelo o para las manos, gafas, audífono, protectores de oído.
home-sound-sensitive = ¿Algún sonido hace que el niño se tape los oídos, llore, se quede quieto o se vaya?
home-hearing-checked = ¿Se ha revisado el oído?
home-make-it = Empezar

room-title = Mirar un cuarto
room-kept = Un recorrido por «{ $place }» está sin terminar.
room-go-on = Seguir con él
room-which = ¿Qué clase de cuarto?
room-place = Lugar
room-place-help = Pocas palabras, como «mesa de la ventana». Siempre las mismas.
room-places = Lugares hasta ahora: { $places }
room-place-missing = Dé un nombre al lugar.
room-by = ¿Quién mira?
room-by-help = Madre, padre, visitante: nunca un nombre.
room-line-each = Una cosa por línea.
room-begin = Empezar
room-saved = Cada página se guarda al seguir.
room-back = Atrás
room-next = Siguiente
room-to-measure = A las fotos y el sonido
room-how-many = ¿Cuántos?
room-less = uno menos
room-more = uno más
room-why = ¿No se pudo ver? Diga por qué
room-not-an-answer = «{ $typed }» no responde a esta pregunta.
room-no-walk = Este recorrido no ha empezado o ya terminó. Empiece de nuevo en la página «Cuarto».
room-open = { $count ->
    [one] { $count } pregunta está sin respuesta. Eso aumenta la duda.
   *[other] { $count } preguntas están sin respuesta. Eso aumenta la duda.
}
room-measure-title = Fotos y sonido
room-photos = Fotos desde el asiento del niño
room-photos-help = A la altura de los ojos del niño, sin nadie en la foto. Se leen y se olvidan.
room-sound = Una grabación del cuarto
room-sound-help = Un minuto a la hora de aprender, con el niño en otro sitio. Se lee y se olvida.
room-voice = La voz de un adulto
room-voice-help = Con el mismo aparato, hablando como siempre en la silla del niño, con el fondo de siempre. Puede dejarse vacío.
room-minutes = Minutos que hay para ordenar
room-finish = ¿Qué salió?

sound-how = Grabe un minuto del cuarto a la hora de aprender, con el niño en otro sitio, y elija aquí el archivo.
sound-file = La grabación
sound-offset = Corrección de calibración en dB
sound-offset-help = De una nota sobre este aparato. Sin ella no hay niveles en dB, solo comparaciones.
sound-calibrated = Este aparato está calibrado
sound-voice-alone = Una voz sola no dice nada de una sala. Elija o grabe también la sala.
sound-child-audible = Se oye al niño
sound-read = Leerla
sound-kept = No se guarda nada del sonido.
sound-again = Otra grabación
sound-title = Lo que se oye
sound-silent = No hay ningún sonido: un micrófono apagado no es un cuarto tranquilo. Grabe de nuevo.
sound-orientation = No existe una norma para un rincón de aprender en casa. Una casa no es un aula.

photo-choose = Fotos
photo-read = Mirarlas
photo-title = Lo que muestran las fotos
photo-together = Juntas: carga visual { $busyness } de 100, dispersión { $spread }.
photo-places = La imagen está más cargada aquí:
photo-place = { $share } % de la carga visual
photo-alt = La foto, pequeña, con contornos en sus lugares más cargados
photo-again = Otras fotos

found-title = Qué salió
found-line = La carga { $load } en una línea de 0 a 100, con su duda
found-change = Carga { $before } antes, { $after } ahora; la diferencia está entre { $low } y { $high }.
found-after = Entonces la carga sería de alrededor de { $load }; mire otra vez para saberlo.
found-most = Lo que más pesa

papers-reports = Informes de este caso
papers-family = Para la familia
papers-family-help = Una página: una cosa que hacer ahora, antes y ahora, el paso siguiente.
papers-visitor-help = Qué se midió, cuándo, con qué y qué se acordó.
papers-clinician = Para el profesional
papers-clinician-help = Todas las cifras, intervalos, pruebas, gráficos y el cálculo.
papers-sheets = Hojas para imprimir
papers-filled = Llevan las palabras de este caso.
papers-blank = Están en blanco. Con un caso abierto llevan sus palabras.

practice-log = Anotar una sesión
practice-go-on = Seguir con la sesión
practice-to-ladder = La escalera
practice-graph = Las sesiones hasta ahora
practice-more = Más
practice-paper-help = Lo mismo en papel, para una semana.
practice-rule = Se sube tras { $sessions } sesiones seguidas con { $percent } % o más a solas, en { $days } días o más.
practice-decided = Decidido por { $by } el { $day }:
practice-tomorrow = Mañana
practice-smaller = Pasos más pequeños

sitting-title = Anotar una sesión
sitting-how = Pulse una vez después de cada intento. Cada intento es una cuenta en un hilo y se guarda al momento.
sitting-rung-help = 0 es el cuarto despejado.
sitting-begin = Empezar
sitting-nothing = sin respuesta
sitting-stop = Parar por hoy
sitting-to-end = Al final de la sesión
sitting-undo = Quitar la última
sitting-kept = Cada intento queda guardado; puede cerrar esta página.
sitting-so-far = { $given } de { $of } intentos: { $alone } a solas, { $helped } con ayuda, { $wrong } no bien.
sitting-three-wrong = Tres intentos seguidos no salieron bien. Termine con algo fácil que salga.
sitting-end-title = ¿Cómo fue?
sitting-distress = ¿Se disgustó el niño, entonces o después?
sitting-missing = Por favor, responda.
sitting-never-assumed = Cómo estaba el niño nunca se da por hecho. Aún no se ha guardado nada.
sitting-which = ¿Cuál fue?
sitting-more = Tarea, lugar, quién practicó, para qué
sitting-by = ¿Quién?
sitting-reinforcer = Trabajó por
sitting-back = Volver al hilo
sitting-store = Guardar esta sesión
sitting-stored = La sesión está guardada.
sitting-forget = Descartar esta sesión
sitting-forget-help = No se guardará nada de ella.
sitting-forget-it = Descartarla

decide-title = Para el profesional: decidir
decide-help = Las reglas proponen; un profesional decide y responde de ello. Los padres no necesitan nada de aquí.
decide-by = ¿Quién responde de ello?
decide-by-help = Un papel o unas iniciales, como «profesional».
decide-what = La decisión
decide-why = ¿Por qué?
decide-why-help = Hace falta cuando difiere de lo que proponen las reglas.
decide-lift = La práctica sigue: se levanta la pausa
decide-it = Decidir
decide-done = La decisión está guardada.

ladder-title = La escalera
ladder-draft-wait = No empiece antes de que el profesional que responde de ella la haya leído, cambiado y firmado.
ladder-draft-beside = Un borrador más nuevo espera la firma
ladder-never = Nunca
ladder-today = El peldaño de hoy
ladder-cleared = El cuarto despejado, tal como está cuando no se añade nada. La tarea se domina primero aquí.
ladder-stair = Los peldaños
ladder-large = Pasos que no se pudieron hacer más pequeños
ladder-all = Los demás peldaños
ladder-load = Carga { $load } de 100, paso { $step }
ladder-already = Ya está
ladder-set-up = Preparar
ladder-else = Si no
ladder-check = Comprobar
ladder-rotate = Alternar
ladder-practise = Practicar
ladder-minutes = { $minutes } minutos, { $tries } intentos
ladder-present = Quién está
ladder-up = Subir
ladder-back = Bajar
ladder-stop = Parar por hoy
ladder-to-meter = Comprobar el nivel en la silla
ladder-plan = Planear una escalera
ladder-plan-help = A partir de los cuartos que se miraron: del cuarto despejado al más lleno, en pasos pequeños. Es un borrador hasta que lo firme un profesional.
ladder-plan-it = Planear
ladder-signs = ¿Quién la firma?
ladder-sign-it = Firmar este plan
ladder-signed = El plan está firmado. Vale desde ahora.

stuck-title = Cuando la práctica se atasca
stuck-help = Qué mirar, por orden, y una o dos cosas para probar esta semana.
stuck-this-week = Esta semana
stuck-looks = Qué mirar
stuck-open = Por preguntar
stuck-fine = Parece bien
stuck-look = Mirar aquí primero
stuck-call = Cuándo llamar al profesional

sample-title = Observar por intervalos
sample-help = Un reloj que pregunta al final de cada intervalo.
sample-how = Elija una sola cosa que mirar. Al final de cada intervalo la página pregunta; responda sí o no. Sin respuesta a tiempo no cuenta nada.
sample-right = Mirar a otro lado, mecerse o tararear en la tarea es estar en la tarea.
sample-what = Qué se mira
sample-what-help = Una cosa que se está aprendiendo. La autoestimulación, la quietud y el contacto visual no se miden nunca.
sample-method = ¿Cuándo cuenta?
sample-momentary = Al final del intervalo
sample-momentary-ask = ¿Ahora mismo?
sample-whole = Todo el intervalo
sample-whole-ask = ¿Todo el intervalo?
sample-partial = En algún momento
sample-partial-ask = ¿En algún momento del intervalo?
sample-interval = Segundos de un intervalo
sample-length = Minutos de observación
sample-chime = También un sonido suave
sample-start = Empezar
sample-stop = Parar
sample-of = Intervalo # de #
sample-done = Hecho. Guárdelo abajo o empiece de nuevo.
sample-marks = Marcas
sample-marks-help = Un signo por intervalo: y visto, n no visto, - no se miró.
sample-store = Guardar
sample-share = Visto en el { $percent } % de { $marked } intervalos marcados; faltaron { $missed }.
sample-none = No se marcó ningún intervalo.
sample-stored = Está guardado en el caso. Nunca entra en una decisión.
sample-not-stored = No está guardado.
sample-kept = { $count ->
    [one] Se guardó una marca de una observación a las { $time }. Guárdela abajo, empiece de nuevo o deséchela.
   *[other] Se guardaron { $count } marcas de una observación a las { $time }. Guárdelas abajo, empiece de nuevo o deséchelas.
}
sample-forget = Desechar

meter-title = Medidor en vivo
meter-help = ¿Suena un peldaño tan fuerte como debe, en la silla del niño?
meter-how = Ponga este aparato en la silla del niño, con el niño en otro sitio. Ponga el sonido y mire la piedra: bajo el agua suena menos que el objetivo, sobre el agua suena más.
meter-safe = Pare el sonido enseguida si alguien se disgusta, diga lo que diga el medidor. Los protectores de oído están siempre permitidos.
meter-needs-script = El medidor en vivo necesita script en el navegador. En su lugar puede leerse una grabación como archivo.
meter-target = Nivel objetivo en dB
meter-target-help = De la tarjeta del peldaño. Necesita el ajuste de calibración. Sin él, compare con la voz de un adulto.
meter-against-voice = Comparar con la voz normal del adulto
meter-listen = Escuchar
meter-voice = Grabar la voz del adulto
meter-stop = Parar
meter-voice-now = Hable como siempre en la silla del niño durante diez segundos, con el fondo habitual; después pare.
meter-voice-kept = La voz es ahora el objetivo.
meter-altered = Este navegador cambia el sonido, así que los niveles pueden ser falsos. Desactívelo en los ajustes del navegador o del sistema, o use otro aparato:
meter-echo = la cancelación de eco está activa
meter-noise = la supresión de ruido está activa
meter-gain = la ganancia automática está activa
meter-denied = No se puede usar el micrófono. Permítalo para esta página o elija un archivo.
meter-no-sound = Aún no llega ningún sonido.
meter-now = Ahora
meter-below = Suena menos que el objetivo de { $target } dB.
meter-at = En el objetivo de { $target } dB.
meter-over = Suena más que el objetivo de { $target } dB.
meter-voice-below = Suena menos que la voz del adulto.
meter-voice-at = Suena como la voz del adulto.
meter-voice-over = Suena más que la voz del adulto.
meter-danger-stop = Demasiado fuerte: apáguelo antes de que entre el niño.
meter-danger-caution = Demasiado fuerte para un peldaño: bájelo.
meter-bars = Bandas de octava, de graves a agudos
meter-record = Grabar { $seconds } segundos aquí
meter-enough = Ya basta
meter-left = Grabando, quedan unos # segundos.
meter-taken = Grabado. Va junto con esta página.

change-title = Antes y después
change-too-few = Para esto hacen falta dos miradas a un cuarto. Mire otra vez después de mover cosas.
change-before = Antes
change-after = Después
change-load = carga { $load }
change-it = Comparar
change-items = Lo que más cambió

caseload-title = Todos los casos de un vistazo
caseload-folder = La carpeta que contiene los casos
caseload-show = Mostrar
caseload-none = No hay ningún caso en esta carpeta.
caseload-left-out = { $count ->
    [one] Se omitió una carpeta
   *[other] Se omitieron { $count } carpetas
}
caseload-today = toca hoy
caseload-week = toca esta semana
caseload-fine = nada pendiente

# Where and when.
calm-title = Dónde y cuándo
calm-help = el rincón más tranquilo y los veinte minutos más tranquilos del día.
calm-nothing = Todavía no hay nada que comparar: mire dos rincones, o traiga grabaciones de las mismas horas en tres días o más.
calm-corners-how = Los rincones se comparan cuando cada uno se miró como un lugar propio.
calm-heard = Grabaciones con hora
calm-heard-how = Grabe las mismas horas en tres días por lo menos, mejor en cinco, con un solo aparato dejado en un sitio. Los sonidos de la niña o el niño no son ruido: grabe cuando esté en otra parte si puede.
calm-recordings = Grabaciones
calm-recordings-help = Varias a la vez. El nombre dice cuándo empezó cada una, por ejemplo 2026-10-05 15.00.m4a; las grabadoras las nombran así. Las muy largas es mejor leerlas con el programa en una computadora.
calm-device = Grabado con
calm-device-help = Una palabra, por ejemplo teléfono. Dos aparatos no se comparan entre sí.
calm-at = Cuándo empezó
calm-at-help = Para una grabación cuyo nombre no lo dice: 2026-10-05 15:00
calm-take-in = Leerlas
calm-kept = Se guardan solo cifras de sonoridad de cada cinco minutos, nada del sonido.
calm-possible = Lo que es posible
calm-taken = Horas ocupadas
calm-taken-help = Una por línea, con el porqué: 17:00-18:30=cocinar
calm-moving = Otros lugares
calm-moving-help = Uno por línea, con los minutos que lleva mudarse allí, o no: dormitorio=10
calm-learning = Practicamos a las
calm-store = Guardar esto
# Filled sheets by photo
sheets-title = Hojas rellenas, por foto
sheets-go = Leer una hoja rellena
sheets-how = Imprima desde aquí la hoja de práctica, la hoja de observación, el diario de pantallas o una lista, rellene o tache los círculos con un bolígrafo oscuro y fotografíe la hoja entera y plana.
sheets-choose = Fotos de hojas rellenas
sheets-choose-help = Una hoja por foto; pueden ser varias fotos. Las cuatro marcas de las esquinas tienen que verse.
sheets-read = Leerlas
sheets-private = La foto se lee en este ordenador y se olvida; lo escrito a mano no se lee.
sheets-to-print = Hojas para imprimir
sheets-found = Lo que dicen las hojas
sheets-by-hand = Lo escrito a mano no se lee: una nota que empieza por baseline, probe, maintenance, unwell o harm tiene que añadirla usted.
sheets-week = Un día de su semana
sheets-week-help = La hoja no dice su semana; por ejemplo 2026-11-24.
sheets-again = Otras hojas
sheets-store = Guardar esto
sheets-already = El caso ya tiene esta hoja; no se guarda otra vez.
sheets-empty = No hay nada relleno en ella.
sheets-doubtful = Diga de estos, por favor ({ $count }): ¿es así? El círculo está en el medio de la imagen.
sheets-enlarged = El círculo, ampliado, con sus vecinos
sheets-filled = sí
sheets-not-filled = no
sheets-stored = { $count ->
    [one] Guardado: { $count } registro.
   *[other] Guardado: { $count } registros.
}
sheets-done = Guardado
