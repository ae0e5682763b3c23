"""What can hurt someone where a calculation is used, said once for every calculation that it goes with.

Each begins with its signal word as ANSI Z535 has it: DANGER (kills), WARNING (can kill), CAUTION, NOTICE (damage only).
"""

from __future__ import annotations

from typing import Final

from trainer.languages import Text

POWER_LINE: Final = Text(
    en="DANGER: a ladder, pole or bar that touches a power line kills. Find the lines first; if one is near, stop.",
    es="PELIGRO: una escalera, tubo o varilla que toca una línea eléctrica mata. Ubique primero las líneas; si hay una "
    "cerca, pare.",
)
FALL: Final = Text(
    en="WARNING: a fall from a roof or a ladder can kill. A number from here does not make a place safe: the competent "
    "person of your employer chooses the anchorage and the system.",
    es="ADVERTENCIA: una caída del techo o de la escalera puede causar la muerte. Un número de aquí no hace seguro un "
    "lugar: la persona competente de su empleador escoge el anclaje y el sistema.",
)
ROOF_LOAD: Final = Text(
    en="WARNING: an overloaded or rotten roof can give way, and what rolls off it can kill a person below. Ask someone "
    "licensed to judge the roof before anything heavy stands on it, and keep people out from under.",
    es="ADVERTENCIA: un techo con demasiada carga o podrido puede ceder, y lo que rueda puede matar a alguien abajo. "
    "Pregunte a quien tenga licencia antes de cargar el techo y no deje a nadie debajo.",
)
HEAVY_SLAB: Final = Text(
    en="WARNING: loose brick under a heavy slab can slide and fall. Take the stack down to sound brick first; if it "
    "leans or rocks, it is work for someone licensed to judge it.",
    es="ADVERTENCIA: el ladrillo suelto bajo una losa pesada puede resbalar y caer. Baje primero hasta ladrillo sano; si "
    "la chimenea está inclinada o se mueve, la juzga alguien con licencia.",
)
SILICA: Final = Text(
    en="WARNING: cutting or grinding brick, clay, mortar or concrete makes silica dust, and the lungs do not heal. Water "
    "or a shroud with a dust collector, as 29 CFR 1926.1153 asks, and the respirator your employer names.",
    es="ADVERTENCIA: cortar o esmerilar ladrillo, barro, mortero o concreto suelta polvo de sílice, y el pulmón no sana. "
    "Use agua, o cubierta colectora con colector de polvo, como pide 29 CFR 1926.1153, y el respirador que indique su "
    "empleador.",
)
WET_CEMENT: Final = Text(
    en="WARNING: wet cement burns skin and eyes, often before it hurts, and dry mix dust holds silica. Gloves, eye "
    "protection, and the respirator your employer names.",
    es="ADVERTENCIA: el cemento mojado quema la piel y los ojos, a veces antes de doler, y el polvo seco tiene sílice. "
    "Use guantes, lentes y el respirador que indique su empleador.",
)
BAR_ENDS: Final = Text(
    en="WARNING: bar ends stab, and cut sparks burn. Cap or bend down every end that sticks up; wear eye protection and "
    "gloves.",
    es="ADVERTENCIA: las puntas de varilla se clavan y las chispas queman. Ponga tapón o doble cada punta que sobresale; "
    "use lentes de seguridad y guantes.",
)
FLUE_GAS: Final = Text(
    en="DANGER: a flue in use gives off carbon monoxide, and one that is blocked or too small sends it into the house. "
    "The appliance is off, made so by someone allowed to; what a flue may serve is settled by the local code.",
    es="PELIGRO: un tubo en uso suelta monóxido de carbono, y uno tapado o muy chico lo manda a la casa. El aparato debe "
    "estar apagado por quien está autorizado; el código local decide para qué sirve un tubo.",
)
LIFTING: Final = Text(
    en="CAUTION: lifting over the limit injures backs, and on a ladder or a slope the limit does not hold at all. Use a "
    "hoist, or two people.",
    es="PRECAUCIÓN: levantar más del límite lastima la espalda, y en una escalera o un techo inclinado el límite no vale. "
    "Use un malacate o dos personas.",
)
NOISE: Final = Text(
    en="WARNING: hearing that is lost does not come back. This adds up what was measured; what must be worn is decided "
    "by your employer's hearing program.",
    es="ADVERTENCIA: el oído que se pierde no vuelve. Aquí se suma lo medido; lo que debe usarse lo decide el programa "
    "auditivo de su empleador.",
)
STRUCTURE: Final = Text(
    en="WARNING: this is a check in round figures, not a design. Steel and concrete that carry a load are settled by "
    "the local code and a licensed engineer.",
    es="ADVERTENCIA: esto es una revisión en números redondos, no un diseño. El acero y el concreto que cargan los "
    "deciden el código local y un ingeniero con licencia.",
)
FALLING: Final = Text(
    en="WARNING: a form full of concrete weighs hundreds of pounds and hangs over the wall. If it lets go it falls on "
    "whoever is below.",
    es="ADVERTENCIA: la cimbra llena pesa cientos de libras y sobresale de la pared. Si se suelta, cae sobre quien esté "
    "abajo.",
)
HOT_FLUE: Final = Text(
    en="WARNING: filler, rod or sealant that is not rated for the heat of the flue can catch fire. Read the label.",
    es="ADVERTENCIA: el relleno, el cordón o el sellador que no aguanta el calor del tubo puede prenderse. Lea la "
    "etiqueta.",
)
