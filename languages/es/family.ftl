# La página de la familia y la página de la visita.

## The family's page
family-title = Su rincón
family-one = Una cosa que hacer ahora
family-room = Cómo ha cambiado el cuarto
family-room-now = Cómo está el cuarto
family-before = Antes, { $day }
family-now = Ahora, { $day }
family-calmer = El cuarto está más tranquilo que antes.
family-busier = El cuarto está más cargado que antes.
family-same = No hay un cambio claro. Puede pasar; vale la pena mirar otra vez.
family-only = Así está el cuarto ahora. Cuando haya movido cosas, vuelva a mirar.
family-sketch = Un dibujo: las cosas que contó en la mesa, el suelo y la pared, antes y ahora.
family-sketch-help = Cada figura pequeña es una cosa que contó allí.
family-sketch-more = y { $count } más
family-next = El paso siguiente de la práctica
family-rung = Prepare esto: { $set-up }
family-rung-again = Siga con este paso: { $set-up }
family-cleared = Practique primero en el cuarto despejado.
family-no-plan = Todavía no hay escalera. Su profesional la hace con ustedes.
family-done = Ha llegado al final de la escalera. Su profesional dice qué viene después.
family-pause = Por favor, deje de practicar por ahora. Llame a su profesional antes de seguir. El niño es lo primero.
family-move = { $remedy }
family-move-minutes = { $minutes ->
    [one] Lleva más o menos { $minutes } minuto.
   *[other] Lleva más o menos { $minutes } minutos.
}
family-elsewhere-both = Practiquen en { $place }, a las { $time }: allí y a esa hora hay más calma.
family-elsewhere-place = Practiquen en { $place }: allí hay más calma.
family-elsewhere-time = Practiquen a las { $time }: a esa hora la casa está más tranquila.
family-move-none = Ahora no hace falta mover nada. Con calma suficiente basta.
family-break = Haga el paso más pequeño antes de seguir. Su profesional le ayudará.
family-stays = Deje siempre a mano: { $things }.
family-stays-unknown = Deje siempre a mano: una forma de comunicarse, agendas de imágenes, objetos de consuelo, gafas, audífonos, protectores de oído.
family-stop = Pare si el niño está mal o se va. Irse está bien.
family-errors = ¿Tres intentos seguidos no salieron? Termine con algo fácil.
family-right = Mecerse, aletear o tararear está bien. Una respuesta correcta es una respuesta correcta.
family-praise = Alégrese enseguida cuando salga bien.
family-ask = Pregunte antes al niño. Pregunte también a los hermanos. «No» es una respuesta.
family-aim = Esta página trata del cuarto, no de su hijo. El cuarto no tiene que ser perfecto. Basta con calma suficiente para esta tarea.
family-who = Hecha el { $day } para { $alias }.

## The visitor's page
visitor-title = Resumen de la visita
visitor-what = Qué se midió
visitor-how = Cómo
visitor-found = Qué salió
visitor-list = Lista { $list }
visitor-list-answered = { $answered } de { $all } preguntas respondidas, por { $by }
visitor-list-open = Sin responder: { $things }. Aumentan la duda y no se cuentan como nada.
visitor-sound = Grabación
visitor-sound-none = sin grabación
visitor-sound-how = { $seconds } segundos, { $calibration }
visitor-calibrated = calibrada (duda { $sd } dB)
visitor-uncalibrated = sin calibrar: ningún nivel en dB, solo comparaciones
visitor-level = LAeq { $level } { $unit }, LA90 { $background } { $unit }
visitor-margin = La voz está { $margin } dB por encima del fondo; se buscan 15 dB o más.
visitor-photo = Foto { $number }
visitor-photo-none = sin foto
visitor-photo-how = { $width } × { $height } puntos
visitor-busyness = carga visual { $busyness } de 100, desviación típica { $sd }
visitor-load = Carga de distracción { $load } de 100 ({ $grade }), intervalo del 90 % de { $low } a { $high }. La carga es una convención de esta herramienta, no una escala validada.
visitor-first = Qué mover primero
visitor-first-help = El mejor uso de { $minutes } minutos.
visitor-differ = Lo que no concuerda
visitor-mind = A tener en cuenta
visitor-keep = Lo que queda a mano
visitor-keep-none = No se preguntó. La próxima vez, pregunte primero.
visitor-agreed = Acordado con la familia
visitor-next-visit = Volvemos a hablar el
visitor-left = Se deja a la familia
visitor-left-1 = la cosa que mover primero
visitor-left-2 = la hoja de práctica
visitor-left-3 = la tarjeta del peldaño siguiente
visitor-nothing = Nada.
grade-still = tranquila
grade-gentle = suave
grade-lively = animada
grade-full = llena
