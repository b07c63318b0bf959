# Las frases de la página local.

page-skip = Al contenido
page-ways = Lugares de esta página
page-foot = Esta página funciona solo en este ordenador; nada sale de él. Mide cuartos, no niños. Las normas locales y la práctica profesional van primero.
page-refused = No ha funcionado:
page-could-not = No ha funcionado
page-not-found = Aquí no
page-nothing-here = No hay nada en esta dirección.
page-no-case-title = Abra antes un caso
page-no-case = Para esto hace falta un caso: una carpeta que guarda lo medido, bajo un apodo.
page-no-file = Elija antes un archivo.
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
home-new-folder = Una carpeta nueva
home-new-folder-help = Aún no debe existir, o debe estar vacía.
home-alias = Apodo
home-alias-help = Una planta o un animal. Nunca el nombre del niño.
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
