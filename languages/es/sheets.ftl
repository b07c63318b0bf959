# Las frases de cada hoja.

## The checklist
checklist-how = Siéntese donde se sienta el niño. Responda por lo que hay ahora, no por lo que suele haber.
checklist-keep = Primero: ¿qué tiene que quedar a mano?
checklist-keep-help = Una forma de comunicarse, una agenda de imágenes, objetos de consuelo o para las manos, gafas, audífono, protectores de oído. Nunca se cuentan y nunca se retiran.
checklist-not-seen = Si no pudo ver u oír algo, marque «no se pudo ver» y diga por qué. También es una respuesta.
checklist-why = ¿Por qué no?
checklist-then = Después, pase las respuestas con
checklist-aim = Esto mide el cuarto, no al niño ni la casa. Basta con que haya calma suficiente para esta tarea.

## The practice sheet
sessions-how = Tres círculos por intento: rellene o tache uno. Un recuadro por día; para otra sesión el mismo día imprima otra hoja.
sessions-tries = Intentos
sessions-on = ¿Estaba de verdad la distracción?
sessions-upset = ¿Malestar?
sessions-came = ¿Vino y se quedó por gusto?
sessions-alone = sin ayuda
sessions-helped = con ayuda
sessions-wrong = no correcto
sessions-stop-title = Pare por hoy cuando
sessions-stop-errors = tres intentos seguidos no salieron: termine con algo fácil que salga bien.
sessions-stop-upset = el niño está mal o se va. Irse está bien; no se le vuelve a llamar.
sessions-stop-enough = ya basta. Una sesión corta y buena vale más que una larga.
sessions-right = Una respuesta correcta dada mientras se mece, aletea, tararea o mira a otro lado es una respuesta correcta.
sessions-mark-title = Palabras con las que puede empezar una nota
sessions-mark-words = baseline (medido, no enseñado) · probe (probado una vez) · maintenance (otra vez un peldaño anterior) · unwell (enfermo, sin dormir) · harm (alguien se hizo daño: pare y llame al profesional)

## The on-task sheet
sampling-how = Ponga un temporizador con una señal suave cada { $seconds } segundos. A la señal, levante la vista y marque solo ese momento: en la tarea o no. Entre señales no se marca nada.
sampling-on-task = En la tarea quiere decir aquí
sampling-share = Proporción = en la tarea ÷ momentos marcados
sampling-bias-title = Lo que esto muestra y lo que no
sampling-bias = Los momentos pierden las cosas breves y se equivocan por igual hacia los dos lados. Anotar «durante todo el intervalo» haría parecer la atención más corta de lo que fue; «en algún momento del intervalo», más larga.
sampling-not = Moverse, mecerse, tararear o mirar a otro lado no es dejar la tarea si la tarea sigue.

## Choosing in pairs
pairs-how = Escriba seis cosas que al niño le puedan gustar. Ofrezca dos cada vez, izquierda y derecha, en este orden. Rodee la que el niño toma o intenta tomar. Deje que la tenga un momento. Ninguna: deje las dos.
pairs-thing = Cosa
pairs-offer = Oferta
pairs-chosen = Veces elegida
pairs-of = de { $count }
pairs-result = Porcentaje = veces elegida ÷ veces ofrecida × 100. Lo elegido en el 80 por ciento o más es un reforzador fuerte.
pairs-stop = El niño puede decir que no a todo. Entonces pare y pruebe otro día.

## Choosing from all
choices-how = Escriba cinco cosas. Póngalas todas en fila, a un brazo de distancia. El niño toma una: anote su lugar en la columna de esta ronda, deje que la tenga un momento, retírela y cambie las otras de sitio. Siga hasta que no quede o no quiera ninguna.
choices-round = Ronda { $number }
choices-chosen = Veces elegida
choices-offered = Veces ofrecida
choices-result = Porcentaje = veces elegida ÷ veces ofrecida × 100, en las tres rondas. Lo que sigue en la fila cuenta como ofrecido.
choices-order = Escriba 1 para lo primero que toma, 2 para lo segundo, y así.
assessment-again = Repítalo cada dos a cuatro semanas, y ofrezca una elección rápida antes de cada sesión.
assessment-never = Nunca retenga comida, descanso ni objetos de consuelo para darles más fuerza.

## How to take the photo
photo-step-1 = Siéntese donde se sienta el niño. Sostenga el teléfono a la altura de los ojos del niño, nivelado, vertical u horizontal.
photo-step-2 = Luz del día o la lámpara de siempre, sin flash, no contra la ventana. Las pantallas como a la hora de aprender.
photo-step-3 = Nadie en la foto. Limpie la lente, no se mueva.
photo-step-4 = Para una segunda foto: mismo sitio, misma posición, misma lente, misma luz.
photo-after = La foto queda también en la galería del teléfono y en su copia de seguridad: bórrela allí.
photo-private = stillroom lee la foto y la olvida. Mide la imagen, nunca hacia dónde mira un niño.
photo-eye-height = altura de los ojos del niño
photo-drawing = Un dibujo: la silla de un niño ante una mesa y un teléfono sostenido nivelado a la altura de los ojos del niño, hacia la mesa.

## The plan for the fridge
plan-when = Cuándo
plan-where = Dónde
plan-how-many = Cuántos intentos
plan-day = Día
plan-done = Hecho
plan-natural = Pequeñas ocasiones del día
plan-natural-help = Al cocinar, en el baño, de camino: ¿dónde podría aparecer sola la misma habilidad?
plan-before = Antes de empezar
plan-before-1 = Pregunte al niño. «No» es una respuesta.
plan-before-2 = Pregunte a hermanos y adultos que fueran a participar. «No» quiere decir que hoy se deja.
plan-before-3 = Ponga a mano lo que tiene que quedar. Los protectores de oído siempre se permiten.
plan-before-4 = Deje que el niño elija para qué trabaja.
plan-rung = Ahora en
plan-stop = Paramos cuando el niño está mal o se va, tras tres intentos seguidos que no salieron (terminando con algo fácil), o cuando ya basta.
plan-after = Después
plan-after-1 = Diga enseguida lo que salió bien. Anote la sesión en la hoja de práctica.
plan-call = A quién preguntamos si dudamos
plan-enough = Lo que la familia puede mantener es suficiente.

## The screen diary
quiet-hour = Hora
quiet-how = Una señal en cada casilla, según cómo estaba el lugar de la niña o el niño: 0 calma, 1 algo de ruido, 2 mucho ruido. Deje sin llenar las horas en que no había nadie. Basta una mirada por hora.
quiet-possible = Lo que es posible
quiet-possible-how = La hora de dormir, cuando vuelven los hermanos, la cocina, las visitas: escriba las horas ocupadas.
quiet-then = Tres días dicen poco, una semana más. Una hora que es 0 casi todos los días merece grabarse: entonces pueden distinguirse hasta cinco minutos.
screens-what = Qué
screens-with = Quién lo vio también
screens-again = ¿Lo mismo otra vez?
screens-how = Una línea por vez. Las videollamadas con la familia no cuentan.
screens-guidance-title = Lo que se recomienda (para su información)
screens-who = OMS 2019: nada antes de los 2 años; de 2 a 4 años, como mucho una hora al día; menos es mejor.
screens-aap = AAP 2016 (sustituida en 2026 por una guía sobre todo el uso de medios, no sobre horas): antes de los 18 meses, solo videollamadas; de 18 a 24 meses, solo con un adulto; de 2 a 5 años, alrededor de una hora al día.
screens-tip = Ver juntos, y volver a ver una escena que al niño le encanta, da para hablar y jugar.

## The doorstep sheet
doorstep-last = Última decisión
doorstep-now = Ahora en
doorstep-due = Qué toca
doorstep-look = Mirar
doorstep-look-1 = ¿Cómo está hoy el niño? ¿Ha dormido, está bien, ha comido? Si no, no se mide.
doorstep-look-2 = El asiento: ¿qué ve y qué oye el niño desde allí?
doorstep-look-3 = ¿Está a mano lo que tiene que quedar?
doorstep-look-4 = ¿Qué ha cambiado en el cuarto desde la última visita?
doorstep-look-5 = ¿Cómo fue la práctica? ¿Qué le costó a la familia?
doorstep-measure = Medir
doorstep-measure-1 = Lista de preguntas, en el asiento del niño
doorstep-measure-2 = Un minuto de sonido a la hora de aprender, con el niño en otro sitio
doorstep-measure-3 = Dos fotos desde el asiento del niño, sin nadie
doorstep-leave = Dejar a la familia
doorstep-leave-1 = Una cosa que mover primero
doorstep-leave-2 = La tarjeta del peldaño siguiente
doorstep-leave-3 = Cuándo volvemos a hablar
doorstep-ask = Pregunte antes de fotografiar o grabar nada. «No» está bien.
doorstep-nothing = nada anotado

## First, then
schedule-how = Ponga una imagen en cada casilla. El niño puede pasar la imagen terminada a «terminado».
schedule-first = Primero
schedule-then = Después
schedule-done = Terminado
schedule-break = Descanso

## Rung cards
card-on = Ya está
card-set-up = Nuevo: prepare esto
card-rotate = Cosas para alternar
card-check = Compruebe en la silla del niño
card-present = Quién puede estar
card-up = Subir: 9 de 10 sin ayuda, tranquilo y por gusto, en dos sesiones seguidas de dos días.
card-back = Bajar: dos sesiones seguidas con la mitad o menos sin ayuda.

## What the sheets that are read back share
marked-how = Rellene o tache con un bolígrafo oscuro. Lo equivocado se borra. Después se lee una foto de la hoja entera y plana.
marked-note = Lo escrito a mano no se lee.
marked-on = ¿Estaba?
marked-came = ¿Por gusto?
marked-minutes = Minutos (los rellenos se suman)
marked-day = { $day } de { $month }
marked-page = Página { $page } de { $of }
marked-version = v{ $version }
sampling-on = en la tarea
sampling-off = no
screens-nobody = solo
screens-adult = adulto
screens-child = niños

## Doubtful circles enlarged
doubts-title = Círculos dudosos
doubts-how = ¿Es así? El círculo está en el medio de la imagen. Diga sí o no en la terminal o con el nombre que está bajo la imagen.
doubts-none = En esta hoja no hay nada dudoso.
