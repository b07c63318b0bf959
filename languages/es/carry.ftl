# Las frases de la página que se lleva en un solo archivo.

carry-working = Un momento …
carry-first = Lo que escribe se guarda en este navegador de este teléfono y en ningún otro sitio. Use una ventana normal: una ventana privada lo olvida todo al cerrarse. Entregue los registros de vez en cuando.
carry-no-storage = Aquí no se puede guardar nada: este navegador no presta almacenamiento a este archivo. Puede probarlo todo, pero se pierde al cerrar la página. Para guardarlo, abra el archivo en una ventana normal de otro navegador.
carry-private = Parece una ventana privada: todo lo que escriba aquí se pierde al cerrarla. Para guardarlo, abra el archivo en una ventana normal.
carry-not-kept = Esto no se guardó, así que no cuenta como hecho: puede estar lleno el almacenamiento de este navegador o teléfono. No se pierde nada de lo guardado antes. Haga sitio o entregue los registros; después envíelo otra vez.
carry-fault = Un fallo de este programa detuvo esta página. No se pierde nada de lo guardado. Vuelva atrás e inténtelo otra vez.
carry-other-child = Este archivo lleva los registros de otro niño, distinto del que se guarda aquí. No se mezcló nada; ábralo en otro navegador.
carry-take-photo = Hacer una foto ahora
carry-take-sound = Grabar con la grabadora del teléfono

hand-over-title = Entregar los registros
hand-over-help = Pone todo lo guardado aquí en un solo archivo para el profesional.
hand-over-how = Todos los registros van a un solo archivo: lo que se miró, las sesiones, las decisiones. No contiene fotos ni sonido. Envíelo al profesional o guárdelo como copia.
hand-over-passphrase = Frase de paso
hand-over-passphrase-help = Cuatro palabras o más. Con ella el archivo queda sellado; dígasela al profesional por otro medio. Si queda vacía, quien tenga el archivo puede leerlo.
hand-over-make = Hacer el archivo
hand-over-only-here = Los registros se guardan solo en este navegador. Si se borran sus datos, se pierden; este archivo es la copia.
hand-over-made = { $records ->
    [one] El archivo está listo: { $records } registro, { $kilobytes } kB.
   *[other] El archivo está listo: { $records } registros, { $kilobytes } kB.
}
hand-over-open = No está sellado: quien lo tenga puede leerlo. No contiene ningún nombre, solo el alias.
hand-over-short = Esta frase es corta: cuatro palabras o más que solo vayan juntas para usted son mucho más difíciles de adivinar.
hand-over-save = Guardar o enviar
hand-over-then = El profesional lo recoge con:
hand-over-stays = Los registros también se quedan aquí.
