package bullpen

import "testing"

// Sentences are invented; what children say is common practice, no source.
func TestSpeaksOfPain(t *testing.T) {
	for _, note := range []string{
		"it hurts when I land", "My elbow HURTS!!", "a little sore but ok", "my arm is numb", "felt a pop in my shoulder",
		"shoulder felt tight on the last five", "my fingers tingle", "I can do more, no pain", "I twisted my ankle",
		"my back's aching", "knee is swollen", "it stung", "elbow feels weird",
		"I think I tore something in my elbow", "I broke my finger", "my wrist is fractured", "I jammed my thumb", "I can't lift my arm",
		"can’t really feel my fingers", "something snapped in my shoulder", "I have headaches", "me rompí el dedo", "creo que es una fractura",
		"me duele cuando caigo", "Me dolió el codo", "tengo dolor en el hombro", "se me durmió... mano entumecida", "me lastimé la rodilla",
		"TENGO EL TOBILLO HINCHADO", "tengo el brazo dormido", "se me durmió la mano", "no puedo levantar el brazo", "no lo pude doblar, el codo",
		"siento un tirón en la pierna", "ya no aguanto el brazo", "no siento los dedos", "se me hinchó la rodilla", "I cannot straighten my elbow", "my arm is dead", "me molesta el hombro", "me torcí el tobillo", "un poco adolorida", "siento hormigueo",
	} {
		if !SpeaksOfPain(note) {
			t.Errorf("%q is not read first", note)
		}
	}
	for _, note := range []string{
		"", "felt great", "the glove popped every time", "rep number 4 slipped", "we painted the net", "I threw them tight to the corner",
		"my legs were fast", "weird wind today", "restrained myself", "back at it on Monday", "could you feel my change-up", "sorry it is late",
		"you can't touch this", "I broke my record", "I can't move practice to Sunday", "my legs feel fast", "the string snapped",
		"me salió muy bien", "lancé por la tarde", "hoy fue divertido", "mi papá grabó los videos", "molestaba el viento", "no puedo mover la práctica al domingo", "estaba dormida cuando llegó el video", "no siento que sea más lento", "me dormí temprano", "un tirón de la malla", "duelo de lanzadoras",
	} {
		if SpeaksOfPain(note) {
			t.Errorf("%q is taken for pain", note)
		}
	}
}
